"""The form of an entry: what was read, what was written, which kind of empty."""

import pytest

from registry.forms.open_fields import MarkedDayField, NumberField
from registry.forms.plan_lines import FeaturesField, PointsField, RectanglesField, TiesField
from registry.forms.quantity import MarkedEmpty
from registry.forms.run_on import RunOnForm
from registry.forms.section import SectionForm
from registry.units import System
from tests import factories

FT = 0.3048


@pytest.mark.parametrize(
    ("text", "value"), [("0,9", 0.9), ("12", 12.0), ("-73.5", -73.5), ("1 450", 1450.0)]
)
def test_bare_number_is_read_with_point_or_comma(text, value):
    assert NumberField().clean(text).value == value


@pytest.mark.parametrize(
    ("text", "words"),
    [("ten", "not a number"), ("1.5", "range"), ("-0.1", "range"), ("1-2", "not a number")],
)
def test_number_that_is_none_or_out_of_range_is_refused_with_the_range(text, words):
    with pytest.raises(Exception, match=words):
        NumberField(least=0, most=1).clean(text)


def test_number_of_things_is_whole():
    with pytest.raises(Exception, match="whole"):
        NumberField(whole=True).clean("2.5")


@pytest.mark.parametrize("text", ["nk", "NM", "not applicable"])
def test_day_may_be_answered_with_a_kind_of_empty(text):
    assert isinstance(MarkedDayField(required=False).clean(text), MarkedEmpty)


def lines(field, system=System.INCH_POUND):
    field.system = system
    return field


@pytest.mark.parametrize(
    ("text", "stored"),
    [
        ("R 0-48 U 0-10", [0.0, 0.0, 48 * FT, 10 * FT]),
        ("r 12 to 24, u 10.5-20 ft", [12 * FT, 10.5 * FT, 12 * FT, 9.5 * FT]),
        ("R 0-4 U 0-3 m", [0.0, 0.0, 4.0, 3.0]),
    ],
)
def test_rectangle_is_read_and_written_back_the_same(text, stored):
    field = lines(RectanglesField())
    (found,) = field.clean(text)
    assert found == pytest.approx(stored)
    assert lines(RectanglesField(), System.SI).clean(field.write_line(found))[0] == pytest.approx(
        stored, abs=1e-4
    )


@pytest.mark.parametrize("text", ["R 48-0 U 0-10", "R 0-48", "the east half", "R 5-5 U 0-1"])
def test_rectangle_that_cannot_be_is_named_with_its_line(text):
    with pytest.raises(Exception, match=r"R 0-48|smaller measure") as refusal:
        lines(RectanglesField()).clean(f"R 0-1 U 0-1\n{text}")
    assert text in str(refusal.value)


def test_point_left_of_the_datum_is_negative_and_written_back_as_left():
    field = lines(PointsField())
    (found,) = field.clean("L 12 U 60")
    assert found == pytest.approx([-12 * FT, 60 * FT])
    assert field.write_line(found) == "L 12 U 60 ft"


def test_tie_is_read_with_feet_and_inches_and_written_back_with_its_unit():
    field = lines(TiesField())
    (found,) = field.clean("18 ft 6 in to door jamb")
    assert found == {"distance_m": pytest.approx(18.5 * FT), "to": "door jamb"}
    assert field.write_line(found) == "18.5 ft to door jamb"


def test_things_on_a_plan_are_read_and_written_back_the_same():
    field = lines(FeaturesField())
    text = "drain north inlet: R 12 U 60 ft\nrun-on lawn: R 0 U 5 ft to R 6 U 5 ft"
    found = field.clean(text)
    assert found[0] == {
        "kind": "drain",
        "name": "north inlet",
        "right_m": pytest.approx(12 * FT),
        "up_m": pytest.approx(60 * FT),
    }
    assert found[1]["to"] == pytest.approx([6 * FT, 5 * FT])
    assert field.prepare_value(found) == text


@pytest.mark.parametrize(
    "text", ["tree: R 1 U 1", "drain: R 1 U 1 to R 2 U 2", "run-on x: R 1 U 1"]
)
def test_thing_on_a_plan_that_cannot_be_is_refused(text):
    with pytest.raises(Exception, match=r"Write it as|one point"):
        lines(FeaturesField()).clean(text)


@pytest.fixture
def pavement(db):
    return factories.PavementFactory()


def run_on(pavement, instance=None, **given):
    sent = {"system": "inch_pound", "kind": "roof", "known_by": "plan", **given}
    options = {"instance": instance} if instance else {}
    return RunOnForm(sent, parent=pavement, system="si", **options)


def test_entry_keeps_text_value_and_kind_of_empty_apart(pavement):
    form = run_on(pavement, area_m2="446", flow_length_m="nm", enters="nk")
    assert form.is_valid(), form.errors
    row = form.entry()
    assert row.area_m2 == pytest.approx(446 * FT**2)
    assert row.as_written == {"area_m2": "446"}
    assert row.empties == {"flow_length_m": "nm", "enters": "nk"}
    assert (row.flow_length_m, row.enters) == (None, "")


def test_form_keeps_to_the_units_chosen_on_it(pavement):
    form = run_on(pavement, system="si", area_m2="446")
    assert form.is_valid()
    assert form.entry().area_m2 == 446


def test_measure_is_shown_for_correction_with_its_unit(pavement):
    row = run_on(pavement, area_m2="446")
    assert row.is_valid()
    stored = row.entry()
    stored.save()
    shown = {s: RunOnForm(instance=stored, parent=pavement, system=s) for s in System}
    assert shown["inch_pound"]["area_m2"].value() == "446 ft²"
    assert shown["si"]["area_m2"].value() == "41.4348 m²"


def test_changes_of_a_new_entry_are_a_mistake_of_ours(pavement):
    form = SectionForm({"system": "si", "name": "north"}, parent=pavement, system="si")
    assert form.is_valid()
    with pytest.raises(ValueError, match="new entry"):
        form.changes()


def test_changes_tell_old_and_new_with_units_where_none_was_written(pavement):
    first = run_on(pavement, area_m2="446")
    assert first.is_valid()
    row = first.entry()
    row.save()
    opened = RunOnForm(instance=row, parent=pavement, system="si")
    form = run_on(pavement, instance=row, seen=opened["seen"].value(), area_m2="4800")
    assert form.is_valid(), form.errors
    change = form.changes()["area_m2"]
    assert (change.text, change.line) == ("4800", ("446 ft²", "4800 ft²"))


def test_taking_a_value_out_is_a_change_to_blank(pavement):
    first = run_on(pavement, area_m2="446", name="hall")
    assert first.is_valid()
    row = first.entry()
    row.save()
    opened = RunOnForm(instance=row, parent=pavement, system="si")
    form = run_on(pavement, instance=row, seen=opened["seen"].value())
    assert form.is_valid(), form.errors
    changes = form.changes()
    assert (changes["area_m2"].value, changes["name"].value) == (None, "")
    assert set(changes) == {"area_m2", "name"}
