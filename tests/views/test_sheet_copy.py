"""A sheet that came back: typed in in its order, twice, late, and with slips in its number."""

from datetime import UTC, date, datetime

import pytest
from django.urls import reverse

from registry.actions.draw_plan import draw_plan, grid_of_panels
from registry.actions.move_defect import move_defect
from registry.actions.print_sheet import print_sheet
from registry.actions.replace_panel import replace_panel
from registry.actions.void_visit import void_visit
from registry.models import (
    Defect,
    DirtSource,
    ObservationWell,
    Panel,
    Plan,
    PrintedSheet,
    SheetCopy,
    Visit,
)
from registry.sheets.gathered import content_of
from registry.sheets.printing import draw_sheet, kept_of
from tests import factories
from tests.sheets.rows_of_lot import lot_of
from tests.views.record import manager_of
from tests.visit_rows import FT, defect_at

pytestmark = pytest.mark.django_db
NOBODY = {"by": None, "organisation": None}
PRINTED = date(2024, 4, 10)
HEAD = {
    "system": "inch_pound",
    "done_on": "2024-04-18",
    "started_clock": "9:10",
    "ended_clock": "10:40",
    "walked_by": "M. Ferrand",
    "reasons": ["spring"],
    "rest_walked": "on",
    "signed_by": "M. Ferrand",
    "next_due_on": "2024-11",
}


@pytest.fixture
def lot():
    return lot_of(2, 2)


@pytest.fixture
def person(lot, client):
    _, person = manager_of(lot)
    client.force_login(person)
    return person


def sheet_of(pavement, system="inch_pound"):
    content = content_of(
        "inspection", pavement, system=system, printed_on=PRINTED, organisation=None
    )
    row = print_sheet(
        kind="inspection",
        draw=lambda number: draw_sheet(content, number=number, public_url="http://x", paper="a4"),
        content=kept_of(content),
        system=system,
        paper="a4",
        pavement=pavement,
        **NOBODY,
    ).row
    PrintedSheet.objects.filter(pk=row.pk).update(printed_at=datetime(2024, 4, 10, 15, tzinfo=UTC))
    row.refresh_from_db()
    return row


def known(defect, found="found", **more):
    return {f"d{defect.pk}-{name}": text for name, text in {"found": found, **more}.items()}


def new(nth=0, **fields):
    return {f"n{nth}-{name}": text for name, text in fields.items()}


def copy(client, sheet, **sent):
    return client.post(reverse("sheet_copy_in", args=[sheet.number]), {**HEAD, **sent})


def test_the_sheet_remembers_which_defect_each_number_was(lot):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    [row] = sheet_of(lot).content["known"]
    assert row == [1, "A1 R 5.0 U 7.5", "raveling", "5.4 ft² 2023-05-19", defect.pk]


def test_the_first_copy_makes_the_visit_by_the_same_actions_as_a_walk(client, lot, person):
    first, second = defect_at(lot, "A1 R 5.0 U 7.5"), defect_at(lot, "B2 whole", "crack")
    well = ObservationWell.objects.create(pavement=lot, name="1")
    sheet = sheet_of(lot)
    answered = copy(
        client,
        sheet,
        **known(first, extent="9"),
        **known(second, "could_not_look", why_not="a car"),
        **new(first="B1", second="2-4", third="5.0-7.5", kind="raveling", extent="5"),
        unseen="B2: a car",
        water_stands="no",
        **{f"w{well.pk}-to_water": "28", f"w{well.pk}-clock": "9:40"},
        dirt_from="bed above A2",
        new_kind="bed",
        new_detail="above A2",
    )
    visit = Visit.objects.get()
    assert answered.url == reverse("visit_page", args=[visit.pk])
    assert (visit.source, visit.sheet_number, visit.state) == ("paper", sheet.number, "in_part")
    assert visit.written_at == visit.ended_at == datetime(2024, 4, 18, 14, 40, tzinfo=UTC)
    looks = {o.defect.number: o for o in visit.observations.select_related("defect")}
    assert looks[1].area_m2 == pytest.approx(9 * FT**2)
    assert (looks[2].found, looks[2].why_not) == ("could_not_look", "a car")
    assert (looks[3].source, looks[3].sheet_number) == ("paper", sheet.number)
    noted = Defect.objects.get(number=3)
    assert (noted.place, noted.panel.name) == ("B1 · 2-4 R · 5-7.5 U", "B1")
    assert noted.outline_kind == "area" and len(noted.outline) == 4
    told = {row.panel.name: row.why for row in visit.panels.all()}
    assert told == {"A1": "", "A2": "", "B1": "", "B2": "a car"}
    assert visit.well_readings.get().to_water_m == pytest.approx(0.7112)
    assert DirtSource.objects.get().seen_on == visit.done_on
    assert visit.next_due_on == date(2024, 11, 1)
    assert SheetCopy.objects.get().is_double is False


def test_units_are_those_ticked_on_the_sheet(client, lot, person):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    sheet = sheet_of(lot)
    given = {"system": "si", **known(defect, extent="0.8")}
    copy(client, sheet, **given, **new(first="A2", second="1.0", third="2.0", kind="lip",
                                       extent="nm"))  # fmt: skip
    looks = {o.defect.number: o for o in Visit.objects.get().observations.all()}
    assert looks[1].area_m2 == pytest.approx(0.8)
    assert looks[2].lip_m is None and looks[2].empties == {"lip_m": "nm"}
    assert Defect.objects.get(number=2).outline == [
        [pytest.approx(1.0), pytest.approx(12 * FT + 2)]
    ]


def test_way_of_a_plow_scrape_drawn_on_the_sheet_is_kept_with_its_measures(client, lot, person):
    row = new(first="A2", second="1", third="2-9", kind="plow_scrape", extent="7", direction="up")
    copy(client, sheet_of(lot), **row)
    look = Visit.objects.get().observations.get()
    assert (look.direction, look.length_m) == ("up", pytest.approx(7 * FT))
    page = client.get(reverse("defect_page", args=[look.defect_id])).content.decode()
    assert "direction up" in page


def test_a_known_row_is_never_left_blank_and_nothing_is_lost(client, lot, person):
    defect_at(lot, "A1 R 5.0 U 7.5")
    page = copy(client, sheet_of(lot), weather="after a storm").content.decode()
    assert "No. 1: say y, n or cl; none may be left blank." in page
    assert "after a storm" in page
    assert not Visit.objects.exists() and not SheetCopy.objects.exists()


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ({"first": "Z9", "kind": "raveling"}, "Z9"),
        ({"first": "A1"}, "Which kind is it?"),
        ({"kind": "crack"}, "Where is it?"),
        ({"first": "A1", "kind": "raveling", "extent": "5 lb"}, "lb"),
        ({"first": "A1", "kind": "crack", "height": "1/8"}, "Which is it?"),
        ({"first": "A1", "kind": "crack", "height": "3", "height_of": "width"}, "Write its unit"),
        ({"first": "A1", "kind": "stain", "height": "3"}, "none of them"),
        ({"first": "A1", "kind": "crack", "direction": "up"}, "Only a plow scrape has a way"),
    ],
)
def test_a_new_row_that_can_be_two_things_is_asked(client, lot, person, row, words):
    page = copy(client, sheet_of(lot), **new(**row)).content.decode()
    assert words in page
    assert not Visit.objects.exists() and not Defect.objects.exists()


def test_a_new_row_where_a_defect_is_known_is_asked_what_it_is(client, lot, person):
    """Overlapping outlines of one kind are offered as the same; a person decides."""
    old = defect_at(
        lot, "A1 · 2-9 R · 1-8 U", panel=Panel.objects.get(name="A1"), outline_kind="area",
        outline=[[2 * FT, FT], [9 * FT, FT], [9 * FT, 8 * FT], [2 * FT, 8 * FT]],
    )  # fmt: skip
    sheet = sheet_of(lot)
    row = new(first="A1", second="3-5", third="2-4", kind="raveling", extent="3")
    page = copy(client, sheet, **known(old), **row).content.decode()
    assert "It lies where a defect is known." in page
    same = copy(client, sheet, **known(old), **row, **{"n0-same": f"same-{old.pk}"})
    assert "has a row of its own above" in same.content.decode()
    assert not Visit.objects.exists()
    copy(client, sheet, **known(old), **row, **{"n0-same": f"part_of-{old.pk}"})
    link = Defect.objects.get(number=2).links.get()
    assert (link.relation, link.other) == ("part_of", old)


def test_panels_and_days_that_cannot_be_are_told(client, lot, person):
    sheet = sheet_of(lot)
    assert "A9 is no panel" in copy(client, sheet, unseen="A9: cars").content.decode()
    assert "lies ahead" in copy(client, sheet, done_on="2094-04-18",
                                next_due_on="").content.decode()  # fmt: skip
    ended = copy(client, sheet, ended_clock="8:00").content.decode()
    assert "The end must come after the start." in ended
    panels = copy(client, sheet, rest_walked="").content.decode()
    assert "Nothing is said of panels A1, A2, B1, B2" in panels
    assert not Visit.objects.exists()


def test_a_second_copy_is_held_as_a_double_with_its_differences(client, lot, person):
    """Case: the same sheet typed in twice; the sheet number shows it."""
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    sheet = sheet_of(lot)
    copy(client, sheet, **known(defect, extent="9"), weather="Sun ")
    answered = copy(client, sheet, **known(defect, extent="6"), weather="sun", note="smudged")
    double = SheetCopy.objects.get(is_double=True)
    assert answered.url == reverse("sheet_copy_page", args=[sheet.number, double.pk])
    assert double.differences == [
        ["known no. 1: area now", "9", "6"],
        ["Foot: remark", "", "smudged"],
    ]
    assert Visit.objects.count() == 1 and double.visit == Visit.objects.get()
    page = client.get(answered.url).content.decode()
    assert "known no. 1: area now" in page and "smudged" in page


def test_differences_of_a_double_stand_in_words(client, lot, person):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    source = factories.DirtSourceFactory(pavement=lot, kind="tree")
    sheet = sheet_of(lot)
    copy(client, sheet, **known(defect))
    missed = known(defect, extent="", found="could_not_look", why_not="a car")
    answered = copy(client, sheet, **missed, system="si", known=str(source.pk))
    page = client.get(answered.url).content.decode()
    found = client.get(answered.url).context["differences"]
    told = {place: (one, now) for place, one, now in found}
    assert told["known no. 1: found"] == ("found", "could not look")
    assert "could_not_look" not in page and "inch_pound" not in page
    [said] = [pair for place, pair in told.items() if place.endswith("still bring dirt")]
    assert said == ("", str(source))


def test_a_double_that_cannot_be_read_is_kept_as_typed(client, lot, person):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    sheet = sheet_of(lot)
    copy(client, sheet, **known(defect))
    copy(client, sheet, **known(defect, extent="a lot"), done_on="2024-4")
    assert SheetCopy.objects.get(is_double=True).typed["known no. 1: area now"] == "a lot"


def test_a_sheet_whose_visit_is_void_may_be_copied_in_anew(client, lot, person):
    defect = defect_at(lot, "A1 R 5.0 U 7.5")
    sheet = sheet_of(lot)
    copy(client, sheet, **known(defect))
    void_visit(Visit.objects.get(), why="wrong sheet", **NOBODY)
    copy(client, sheet, **known(defect, extent="6"))
    assert Visit.objects.standing().count() == 1
    assert SheetCopy.objects.get(is_double=False).visit == Visit.objects.standing().get()


def test_six_weeks_later_the_sheet_reads_true(client, lot, person):
    """Since then: one defect closed, one void, one new, a panel replaced, the plan renumbered."""
    closed, gone = defect_at(lot, "A1 R 5.0 U 7.5"), defect_at(lot, "B2 whole", "crack")
    sheet = sheet_of(lot)
    between = defect_at(lot, "B1 R 1.0 U 1.0", first_seen_on=date(2024, 4, 15))
    move_defect(closed, to_state="no_action", on=date(2024, 5, 20), **NOBODY)
    Defect.objects.filter(pk=gone.pk).update(void_at=datetime(2024, 5, 1, tzinfo=UTC), void_why="x")
    replace_panel(
        Panel.objects.get(name="A2"), placed_on=date(2024, 5, 10), why="cracked", **NOBODY
    )
    side = 6 * FT
    plan = Plan(pavement=lot, kind="panels", drawn_on=date(2024, 5, 25), number=3)
    draw_plan(
        plan, panels=grid_of_panels([side] * 4, [side] * 4, placed_on=date(2024, 5, 25)),
        **NOBODY,
    )  # fmt: skip
    page = client.get(reverse("sheet_copy_in", args=[sheet.number])).content.decode()
    assert "B2 whole" in page and "Taken out of the record since" in page
    sent = {**known(closed), **new(first="A2", second="5.0", third="11.5", kind="raveling")}
    again = copy(client, sheet, **sent).content.decode()
    assert "Known on that day, but not on the sheet: no. 3." in again
    assert "not on the sheet that was carried" in again
    sent |= known(between, "could_not_look", why_not="not on the sheet that was carried")
    copy(client, sheet, **sent)
    visit = Visit.objects.get()
    assert sorted(row.panel.name for row in visit.panels.all()) == ["A1", "A2", "B1", "B2"]
    noted = Defect.objects.get(number=4)
    assert noted.panel.name == "A2" and noted.panel.ended_as == "replaced"
    assert noted.outline == [[pytest.approx(5 * FT, abs=1e-3), pytest.approx(23.5 * FT, abs=1e-3)]]
    closed.refresh_from_db()
    assert closed.state == "no_action"


@pytest.mark.parametrize("typed", ["ins 417", "INS417", "ins.0417", "1NS-0417", "417", "ins-O417"])
def test_slips_in_the_number_are_named_back_and_never_guessed(client, lot, person, typed):
    factories.MembershipFactory()
    PrintedSheet.objects.create(
        number="INS-0417", kind="inspection", pavement=lot, system="si", paper="a4"
    )
    answered = client.get(reverse("sheet_list"), {"number": typed})
    assert answered.status_code == 200
    named = "INS-0417</a>, inspection sheet, North lot" in answered.content.decode()
    assert named is (typed != "1NS-0417")


def test_a_blank_sheet_is_asked_its_pavement(client, lot, person):
    PrintedSheet.objects.create(
        number="INS-0500", kind="inspection", system="inch_pound", paper="a4", printed_by=person
    )
    address = reverse("sheet_copy_in", args=["INS-0500"])
    assert "North lot" in client.get(address).content.decode()
    answered = client.post(f"{address}?pavement={lot.pk}", HEAD)
    assert answered.url == reverse("visit_page", args=[Visit.objects.get().pk])


def test_five_more_rows_keep_what_was_typed_and_store_nothing(client, lot, person):
    page = copy(client, sheet_of(lot), more_rows="1", rows="5", **new(first="A1", note="P-7"))
    assert len(page.context["copying"].new) == 10
    assert "P-7" in page.content.decode() and not Visit.objects.exists()
