"""What a plan says beside its picture: ties, a lost datum, and the panels summed."""

from datetime import date

import pytest

from registry.gathering.layouts import layout_of
from registry.gathering.plan_facts import area_of, plan_facts
from registry.models import Plan
from registry.units import System
from tests.factories import PanelFactory, PlanFactory

ON = date(2024, 6, 1)
TIE = {"distance_m": 5.5, "to": "hydrant"}


def facts_of(**fields):
    return {fact.label: fact for fact in plan_facts(Plan(kind="panels", **fields), System.SI)}


@pytest.mark.parametrize(
    ("ties", "text", "empty"),
    [
        ([], "", "not filled in yet"),
        ([TIE], "5.50 m to hydrant (two are needed to find the datum again)", ""),
        ([TIE, {"distance_m": 7, "to": "door"}], "5.50 m to hydrant; 7.00 m to door", ""),
    ],
)
def test_ties_are_told_with_their_lengths_and_one_alone_is_too_few(ties, text, empty):
    fact = facts_of(ties=ties)["ties"]
    assert (fact.text, fact.empty) == (text, empty)


def test_lengths_that_find_the_datum_again_are_told_to_the_last_figure_written():
    plan = Plan(
        kind="panels",
        ties=[{"distance_m": 18.42 * 0.3048, "to": "bolt"}, {"distance_m": 7.0104, "to": "jamb"}],
        check_length_m=132.25 * 0.3048,
    )
    facts = {fact.label: fact.text for fact in plan_facts(plan, System.INCH_POUND)}
    assert facts["ties"] == "18.42 ft to bolt; 23.0 ft to jamb"
    assert facts["check length"] == "132.25 ft"


def test_a_path_says_its_width_and_from_where_offsets_count_and_pavers_their_square():
    path = facts_of(width_m=2.5, offset_from="left_edge")
    assert path["width of a path"].text == "2.50 m"
    assert path["offsets are from"].text == "the left edge"
    assert "side of a square" not in path
    assert facts_of(square_m=3.0)["side of a square"].text == "3.00 m"


def test_lost_datum_and_misfit_are_told_only_where_so():
    assert "datum found gone on" not in facts_of()
    facts = facts_of(datum_lost_on=ON, misfit_m=0.03)
    assert facts["datum found gone on"].text == "2024-06-01"
    assert "misfit of a rebuilt datum" in facts


@pytest.mark.django_db
def test_area_is_the_sum_of_the_panels_of_the_day():
    plan = PlanFactory()
    for nth in range(2):
        PanelFactory(
            pavement=plan.pavement, name=f"A{nth + 1}", up_m=4.0 * nth, width_m=3.0, length_m=4.0
        )
    assert area_of(layout_of(plan.pavement), on=ON, system=System.SI).startswith("24")
    assert area_of(None, on=ON, system=System.SI) == ""
