"""Adding, correcting, ending and voiding entries of the record through their pages."""

from datetime import date

import pytest
from django.urls import reverse

from registry.models import Criteria, DirtSource, JournalLine, Layer, RunOnArea, Structure
from registry.views.entry import named
from registry.views.parents import NOUNS
from tests import factories
from tests.views.record import manager_of, written, wrongs

ADDED = {
    "criteria": {"source_document": "permit 12", "from_on": "2020-01-01", "intensity_mm_h": "3.1"},
    "run_on": {
        "kind": "roof",
        "known_by": "plan",
        "area_m2": "446 ft2",
        "runoff_coefficient": "0,9",
    },
    "dirt_source": {"kind": "tree", "detail": "oak, 20 ft", "brings": "leaf"},
    "structure": {"geotextile": "sides", "layer-2-depth_mm": "12", "layer-2-stone_size": "No. 57"},
    "well": {"name": "W1", "place": "B6", "depth_mm": "30 in"},
    "section": {"name": "north half", "thickness_mm": "6", "from_on": "2020-01-01"},
    "stratum": {"kind": "run_on_edge", "rectangles": "R 0-48 U 0-10"},
    "joint": {"between": "A1|A2", "kind": "sawn", "depth_mm": "1 1/2"},
}


@pytest.fixture
def pavement(db, client):
    pavement, person = manager_of()
    client.force_login(person)
    return pavement


def add(client, noun, parent, **given):
    return client.post(
        reverse("entry_add", args=[noun, parent.pk]), {"system": "inch_pound", **given}
    )


def correct(client, noun, parent, row, why="taped again", **changed):
    url = reverse("entry_correct", args=[noun, parent.pk, row.pk])
    sent = written(client.get(url).context["form"])
    return client.post(url, {**sent, "why": why, **changed})


@pytest.mark.parametrize("noun", ADDED)
def test_entry_is_stored_with_its_journal_line_and_stands_in_the_record(client, pavement, noun):
    answer = add(client, noun, pavement, **ADDED[noun])
    assert answer.status_code == 302, wrongs(answer)
    line = JournalLine.objects.latest("pk")
    assert (line.verb, line.pavement) == ("added", pavement)
    assert line.subject_name in client.get(answer.url).content.decode().replace("&#x27;", "'")


@pytest.mark.parametrize("noun", ADDED)
def test_a_form_sent_back_untouched_corrects_nothing(client, pavement, noun):
    add(client, noun, pavement, **ADDED[noun])
    row = client.get(reverse("pavement_edit", args=[pavement.pk])).context["parts"]
    ((entry, _, _),) = next(p for p in row if p["name"] == noun)["rows"]
    answer = correct(client, noun, pavement, entry)
    assert "Nothing was changed" in str(wrongs(answer))


SAID = {
    "run_on": {"kind": ("roof", ""), "area": ("446 ft²", "446 ft2"), "flow length": ("", "nk")},
    "structure": {
        "base": ("12.00 in No. 57 voids 0.40 assumed", ""),
        "geotextile": ("sides", ""),
        "soil tested on": ("", ""),
    },
    "joint": {"between panels": ("A1|A2", ""), "depth": ("1.50 in", "1 1/2")},
}


@pytest.mark.parametrize("noun", SAID)
def test_who_only_reads_sees_every_field_as_read_and_as_written(client, pavement, noun):
    more = {"flow_length_m": "nk"} if noun == "run_on" else {}
    add(client, noun, pavement, **ADDED[noun], **more)
    _, reader = manager_of(pavement, role="evaluator")
    client.force_login(reader)
    page = client.get(reverse("pavement_edit", args=[pavement.pk]))
    ((_, _, facts),) = next(p for p in page.context["parts"] if p["name"] == noun)["rows"]
    told = {f.label: f for f in facts}
    assert {
        str(NOUNS[noun].form._meta.model._meta.get_field(name).verbose_name)
        for name in NOUNS[noun].form._meta.fields
    } <= set(told)
    for label, (text, written_as) in SAID[noun].items():
        assert told[label].text == text
        if written_as == "nk":
            assert told[label].empty == "not known"
        else:
            assert told[label].written == written_as
        assert (text or told[label].empty) in page.content.decode()


def test_correction_is_a_line_with_old_and_new_as_written(client, pavement):
    add(client, "run_on", pavement, **ADDED["run_on"])
    row = RunOnArea.objects.get()
    assert correct(client, "run_on", pavement, row, area_m2="4,800 ft2").status_code == 302
    row.refresh_from_db()
    assert row.area_m2 == pytest.approx(4800 * 0.3048**2)
    line = JournalLine.objects.corrections().get()
    assert line.changes == {"area_m2": ["446 ft2", "4,800 ft2"]}
    assert row.as_written["area_m2"] == "446 ft2"
    correct(client, "run_on", pavement, row, area_m2="4 790 ft2")
    assert JournalLine.objects.corrections()[0].changes["area_m2"] == ["4,800 ft2", "4 790 ft2"]


def test_choosing_other_units_gives_no_stored_measure_a_new_meaning(client, pavement):
    add(client, "run_on", pavement, **ADDED["run_on"])
    row = RunOnArea.objects.get()
    before = row.area_m2
    answer = correct(client, "run_on", pavement, row, system="si", name="hall roof")
    assert answer.status_code == 302, wrongs(answer)
    row.refresh_from_db()
    assert row.area_m2 == before


@pytest.mark.parametrize(
    ("field", "text", "empty", "value"),
    [
        ("area_m2", "nk", "nk", None),
        ("runoff_coefficient", "nm", "nm", None),
        ("from_on", "not known", "nk", None),
        ("enters", "na", "na", ""),
        ("is_channelled", "nk", "nk", None),
    ],
)
def test_each_kind_of_field_takes_a_kind_of_empty(client, pavement, field, text, empty, value):
    given = {**ADDED["run_on"], field: text}
    assert add(client, "run_on", pavement, **given).status_code == 302
    row = RunOnArea.objects.get()
    assert (getattr(row, field), row.empties[field]) == (value, empty)
    page = client.get(reverse("entry_correct", args=["run_on", pavement.pk, row.pk]))
    assert page.context["form"][field].value() == empty


def test_blank_becomes_not_known_by_a_line(client, pavement):
    add(client, "run_on", pavement, kind="lawn", known_by="assumed")
    row = RunOnArea.objects.get()
    assert row.kind_of_empty("area_m2") == "not filled in yet"
    correct(client, "run_on", pavement, row, area_m2="nk", why="asked the owner")
    row.refresh_from_db()
    assert row.kind_of_empty("area_m2") == "not known"
    assert JournalLine.objects.corrections().get().changes == {"area_m2": ["", "not known"]}


def test_second_of_two_corrections_opened_at_once_is_told(client, pavement):
    add(client, "run_on", pavement, **ADDED["run_on"])
    row = RunOnArea.objects.get()
    url = reverse("entry_correct", args=["run_on", pavement.pk, row.pk])
    opened = written(client.get(url).context["form"])
    correct(client, "run_on", pavement, row, runoff_coefficient="0.7")
    answer = client.post(url, {**opened, "name": "roof of the hall", "why": "name"})
    assert "corrected this entry after you opened it" in str(wrongs(answer))
    row.refresh_from_db()
    assert (row.runoff_coefficient, row.name) == (0.7, "")


@pytest.mark.parametrize(
    ("noun", "changed", "field", "words"),
    [
        ("run_on", {"runoff_coefficient": "1.2"}, "runoff_coefficient", "0 to 1"),
        ("run_on", {"area_m2": "0"}, "area_m2", "more than zero"),
        ("run_on", {"area_m2": "-4"}, "area_m2", "negative"),
        ("run_on", {"area_m2": "about 400"}, "area_m2", "not a number"),
        ("run_on", {"known_by": "rain_walk"}, "known_on", "which day"),
        ("run_on", {"from_on": "2024-05-01", "to_on": "2024-05-01"}, "to_on", "first day"),
        ("run_on", {"from_on": "03/04/2024"}, "from_on", "2024"),
        (
            "criteria",
            {"statement_due_month": "2", "statement_due_day": "30"},
            "statement_due_day",
            "no such",
        ),
        ("criteria", {"action_rate_mm_h": "0"}, "action_rate_mm_h", "more than zero"),
        ("criteria", {"tests_per_visit": "2.5"}, "tests_per_visit", "whole"),
        ("stratum", {"rectangles": "R 0-48"}, "rectangles", "R 0-48 U 0-10"),
        (
            "stratum",
            {"rectangles": "R 0-48 U 0-10\nR 40-60 U 5-9"},
            "rectangles",
            "lie on each other",
        ),
        ("structure", {"surface_slope_percent": "400"}, "surface_slope_percent", "0 to 40"),
        ("section", {"name": ""}, "name", "required"),
        ("section", {"name": "nk"}, "name", None),
    ],
)
def test_bad_input_is_refused_beside_its_field_in_plain_words(
    client, pavement, noun, changed, field, words
):
    answer = add(client, noun, pavement, **{**ADDED[noun], **changed})
    if words is None:
        assert answer.status_code == 302
        return
    assert answer.status_code == 200
    assert words in str(wrongs(answer)[field]), wrongs(answer)


def test_run_on_that_ends_changes_what_is_required_from_that_day(client, pavement):
    add(client, "run_on", pavement, **ADDED["run_on"])
    row = RunOnArea.objects.get()
    url = reverse("entry_end", args=["run_on", pavement.pk, row.pk])
    assert client.post(url, {"on": "2024-06-01", "why": "led to the drain"}).status_code == 302
    assert not pavement.run_on_areas.standing().on(date(2024, 6, 1)).exists()
    assert pavement.run_on_areas.standing().on(date(2024, 5, 31)).exists()
    again = client.post(url, {"on": "2024-07-01", "why": "led to the drain"})
    assert "ended already" in str(wrongs(again))


def test_source_of_dirt_stops_on_a_day(client, pavement):
    add(client, "dirt_source", pavement, **ADDED["dirt_source"], seen_on="2024-05-01")
    row = DirtSource.objects.get()
    url = reverse("entry_end", args=["dirt_source", pavement.pk, row.pk])
    early = client.post(url, {"on": "2024-04-01", "why": "felled"})
    assert "2024-05-01" in str(wrongs(early))
    client.post(url, {"on": "2024-06-01", "why": "felled"})
    row.refresh_from_db()
    assert row.stopped_on == date(2024, 6, 1)
    assert JournalLine.objects.latest("pk").verb == "stopped"


def test_void_entry_stays_readable_with_its_reason_and_is_corrected_no_more(client, pavement):
    add(client, "well", pavement, **ADDED["well"])
    row = pavement.wells.get()
    url = reverse("entry_void", args=["well", pavement.pk, row.pk])
    assert client.post(url, {"why": "it is a cleanout"}).status_code == 302
    page = client.get(reverse("pavement_edit", args=[pavement.pk])).content.decode()
    assert "it is a cleanout" in page
    assert client.get(url).status_code == 404


def test_new_criteria_end_the_old_only_where_the_writer_says_so(client, pavement):
    add(client, "criteria", pavement, **ADDED["criteria"])
    new = {**ADDED["criteria"], "source_document": "permit 30", "from_on": "2024-01-01"}
    refused = add(client, "criteria", pavement, **new)
    assert "permit 12" in str(wrongs(refused)["from_on"])
    assert Criteria.objects.count() == 1
    assert add(client, "criteria", pavement, **new, ends_old="on").status_code == 302
    old = Criteria.objects.get(source_document="permit 12")
    assert old.to_on == date(2024, 1, 1)


def test_corrected_days_of_criteria_may_not_reach_into_another_set(client, pavement):
    add(client, "criteria", pavement, **{**ADDED["criteria"], "to_on": "2022-01-01"})
    add(client, "criteria", pavement, source_document="permit 30", from_on="2022-01-01")
    new = Criteria.objects.get(source_document="permit 30")
    answer = correct(client, "criteria", pavement, new, from_on="2021-06-01")
    assert "permit 12" in str(wrongs(answer))


def test_action_level_that_is_written_counts_as_given_by_the_document(client, pavement):
    add(client, "criteria", pavement, **ADDED["criteria"], action_rate_mm_h="18.6")
    row = Criteria.objects.get()
    assert row.action_rate_is_given
    assert row.action_rate_mm_h == pytest.approx(18.6 * 25.4)
    correct(client, "criteria", pavement, row, action_rate_mm_h="")
    row.refresh_from_db()
    assert (row.action_rate_mm_h, row.action_rate_is_given) == (None, False)


def test_unlikely_action_level_is_asked_about_and_stored_as_written_where_it_is_meant(
    client, pavement
):
    given = {**ADDED["criteria"], "action_rate_mm_h": "12.5 mm/h"}
    answer = add(client, "criteria", pavement, **given)
    assert "12.5 in/h was meant" in str(wrongs(answer)["action_rate_mm_h"])
    assert "level_is_meant" in answer.content.decode()
    assert not Criteria.objects.exists()
    assert add(client, "criteria", pavement, **given, level_is_meant="on").status_code == 302
    row = Criteria.objects.get()
    assert row.action_rate_mm_h == pytest.approx(12.5)
    assert correct(client, "criteria", pavement, row, note="seen again").status_code == 302
    answer = correct(client, "criteria", pavement, row, action_rate_mm_h="318")
    assert "318 mm/h was meant" in str(wrongs(answer)["action_rate_mm_h"])


def test_unlikely_design_intensity_is_asked_about_as_the_action_level_is(client, pavement):
    given = {**ADDED["criteria"], "intensity_mm_h": "3.2 mm/h"}
    answer = add(client, "criteria", pavement, **given)
    assert "3.2 in/h was meant" in str(wrongs(answer)["intensity_mm_h"])
    assert "intensity_is_meant" in answer.content.decode()
    assert not Criteria.objects.exists()
    both = {**given, "action_rate_mm_h": "12.5 mm/h", "level_is_meant": "on"}
    assert set(wrongs(add(client, "criteria", pavement, **both))) == {"intensity_mm_h"}
    assert add(client, "criteria", pavement, **given, intensity_is_meant="on").status_code == 302
    assert Criteria.objects.get().intensity_mm_h == pytest.approx(3.2)


def test_layers_keep_the_assumed_void_ratio_unless_one_was_measured(client, pavement):
    add(
        client,
        "structure",
        pavement,
        **ADDED["structure"],
        **{"layer-3-depth_mm": "18", "layer-3-void_ratio": "0.37"},
    )
    base, subbase = Layer.objects.order_by("pk")
    assert (base.kind, base.depth_mm, base.void_ratio, base.void_ratio_is_measured) == (
        "base",
        pytest.approx(304.8),
        0.40,
        False,
    )
    assert (subbase.void_ratio, subbase.void_ratio_is_measured) == (0.37, True)


def test_corrected_layers_stand_old_and_new_in_the_line(client, pavement):
    add(client, "structure", pavement, **ADDED["structure"])
    row = Structure.objects.get()
    correct(client, "structure", pavement, row, **{"layer-2-depth_mm": "10 in"})
    (old, new) = JournalLine.objects.corrections().get().changes["layers"]
    assert ("304.8 mm" in old, "254 mm" in new) == (True, True)
    assert Layer.objects.get().depth_mm == 254


def test_criteria_of_a_reviewed_pavement_are_the_towns_to_set(client, pavement):
    factories.SeatFactory(pavement=pavement, role="municipality")
    assert add(client, "criteria", pavement, **ADDED["criteria"]).status_code == 403
    _, clerk = manager_of(pavement, role="municipality")
    client.force_login(clerk)
    assert add(client, "criteria", pavement, **ADDED["criteria"]).status_code == 302
    assert add(client, "well", pavement, **ADDED["well"]).status_code == 403


def test_entry_of_another_pavement_is_not_found(client, pavement):
    add(client, "well", pavement, **ADDED["well"])
    other = factories.PavementFactory()
    seat = pavement.seats.get()
    factories.SeatFactory(pavement=other, organisation=seat.organisation, role="manager")
    url = reverse("entry_correct", args=["well", other.pk, pavement.wells.get().pk])
    assert client.get(url).status_code == 404


@pytest.mark.parametrize("noun", ["hat", "pavement"])
def test_unknown_kind_of_entry_is_not_found(client, pavement, noun):
    assert client.get(reverse("entry_add", args=[noun, pavement.pk])).status_code == 404


def test_the_form_of_a_core_says_what_it_is_for_and_warns_of_cutting(client, pavement):
    page = client.get(reverse("entry_add", args=["core", pavement.pk]))
    told = page.content.decode()
    assert "what was read on it" in told
    assert "silica dust" in told


@pytest.mark.parametrize(
    ("noun", "name", "told"),
    [
        ("cover", "cover of B1", "cover of B1"),
        ("well", "W1", "observation well W1"),
        ("panel_finding", "C8: salt, frost", "finding for a panel C8: salt, frost"),
    ],
    ids=["kind in the name", "name alone", "panel"],
)
def test_a_kind_is_not_named_twice_when_it_is_stored(noun, name, told):
    assert named(NOUNS[noun], name) == told
