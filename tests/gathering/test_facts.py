"""Facts as lines: shown in either system, with the kind of empty where nothing is known."""

from datetime import date

import pytest

from registry.gathering.demand import demand_rows
from registry.gathering.facts import (
    Fact,
    criteria_facts,
    pavement_facts,
    record_facts,
    run_on_facts,
    structure_facts,
    what_is_not_known,
)
from registry.models import Layer, RunOnArea, Structure
from registry.units import System
from tests.factories import CriteriaFactory, PavementFactory

pytestmark = pytest.mark.django_db
ON = date(2026, 6, 1)


def by_label(facts):
    return {fact.label: fact for fact in facts}


def test_quantity_is_shown_in_the_system_asked_and_as_written():
    lot = PavementFactory(area_m2=446.0, as_written={"area_m2": "4,800 ft2"})
    assert by_label(pavement_facts(lot, System.SI))["area"] == Fact(
        "area", "446 m²", "", "4,800 ft2"
    )
    assert by_label(pavement_facts(lot, System.INCH_POUND))["area"].text == "4801 ft²"


def test_text_as_written_is_not_repeated_where_it_is_what_is_shown():
    lot = PavementFactory(placed_on=date(2023, 8, 22), as_written={"placed_on": "2023-08-22"})
    assert by_label(pavement_facts(lot, System.SI))["placed on"].written == ""


def test_the_record_says_where_on_earth_it_lies_to_the_metre_and_what_was_remarked():
    lot = PavementFactory(datum_lon=-118.243683, datum_lat=34.05, note="Area to be measured.")
    facts = by_label(record_facts(lot, System.SI))
    assert facts["longitude of the datum"].text == "-118.243683"
    assert (facts["remark"].text, facts["longitude"].empty) == (lot.note, "not filled in yet")


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("nk", "not known"),
        ("nm", "not measured"),
        ("na", "does not apply"),
        (None, "not filled in yet"),
    ],
)
def test_each_kind_of_empty_has_its_words(code, words):
    lot = PavementFactory(empties={"thickness_mm": code} if code else {})
    fact = by_label(pavement_facts(lot, System.SI))["planned thickness"]
    assert (fact.text, fact.empty) == ("", words)


def test_what_is_not_known_is_listed_by_kind_those_never_looked_at_last():
    facts = [
        Fact("a", "", "not filled in yet"),
        Fact("b", "", "not known"),
        Fact("c", "5 m"),
        Fact("d", "", "not known"),
    ]
    assert what_is_not_known(facts) == (
        ("not known", ("b", "d")),
        ("not filled in yet", ("a",)),
    )


def test_action_level_says_what_made_it():
    lot = PavementFactory()
    CriteriaFactory(pavement=lot, action_rate_mm_h=317.5, source_document="permit SW-118")
    facts = by_label(criteria_facts(demand_rows(lot).on(ON), System.INCH_POUND))
    assert facts["by"].text == "permit SW-118"
    assert facts["action level"].text == "12.5 in/h (written in the document)"
    assert facts["required rate"].empty == "The design intensity is not known."


def test_assumed_run_on_is_said_beside_every_number_made_of_it():
    lot = PavementFactory(area_m2=100.0)
    CriteriaFactory(
        pavement=lot, action_rate_is_given=False, action_rate_mm_h=None, intensity_mm_h=80.0
    )
    RunOnArea.objects.create(
        pavement=lot, kind="asphalt", area_m2=100.0, runoff_coefficient=1.0, known_by="assumed"
    )
    facts = by_label(criteria_facts(demand_rows(lot).on(ON), System.SI))
    assert facts["required rate"].text == "160.0 mm/h, run-on assumed"
    assert facts["action level"].text == "320.0 mm/h (required rate, run-on assumed)"
    assert facts["run-on ratio"].text.endswith("run-on assumed")


def test_pavement_without_criteria_says_so():
    (fact,) = criteria_facts(demand_rows(PavementFactory()).on(ON), System.SI)
    assert fact.empty == "No design criteria are entered for this day."


def test_run_on_area_names_what_of_it_is_not_known():
    lot = PavementFactory()
    area = RunOnArea.objects.create(pavement=lot, kind="roof", enters="downspout at D9")
    (fact,) = run_on_facts([area], System.SI)
    assert fact.text == (
        "area not known, runoff coefficient not known, enters downspout at D9, assumed"
    )


def test_layers_say_whether_their_voids_were_measured():
    structure = Structure.objects.create(pavement=PavementFactory())
    Layer.objects.create(structure=structure, kind="base", depth_mm=203.2, stone_size="No. 57")
    Layer.objects.create(
        structure=structure, kind="subbase", void_ratio=0.38, void_ratio_is_measured=True
    )
    facts = by_label(structure_facts(structure, System.INCH_POUND))
    assert facts["base"].text == "8.00 in No. 57 voids 0.40 assumed"
    assert facts["subbase"].text == "voids 0.38"
