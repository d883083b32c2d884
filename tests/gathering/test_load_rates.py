"""Rule 6 of "no longer enough": acceptance laid over loads, worked by hand on four panels."""

from datetime import date

import pytest

from registry.models import Panel, Spot
from tests import factories
from tests.gathering.test_due_facts import ACTION, cleaned, due_at, measured, rule
from tests.placing_factories import (
    LoadFactory,
    PlacingDayFactory,
    SpreadFactory,
    WarrantyFactory,
)

pytestmark = pytest.mark.django_db
PLACED, ACCEPTED = date(2015, 5, 1), date(2015, 5, 12)
LOW, HIGH = 90.0, 900.0


@pytest.fixture
def lot():
    """Lane A, four panels of 3 m: load 1 in A1 and half of A2, load 2 in the rest."""
    row = factories.PavementFactory(placed_on=PLACED)
    factories.CriteriaFactory(pavement=row, action_rate_mm_h=ACTION)
    plan = factories.PlanFactory(pavement=row)
    for nth in range(4):
        factories.PanelFactory(
            pavement=row, plan=plan, name=f"A{nth + 1}", right_m=0, up_m=3.0 * nth, width_m=3.0,
            length_m=3.0,
        )  # fmt: skip
    day = PlacingDayFactory(pavement=row, placed_on=PLACED)
    for number, begin, end in (("1", 0.0, 4.5), ("2", 4.5, 12.0)):
        load = LoadFactory(placing_day=day, number=number, state="placed")
        SpreadFactory(load=load, lane="A", from_m=begin, to_m=end)
    WarrantyFactory(pavement=row, state="running")
    return row


def spot_in(lot, panel, **fields):
    return factories.SpotFactory(pavement=lot, panel=lot.panels.get(name=panel), **fields)


def accepted(spot, mm_h):
    return measured(spot, ACCEPTED, mm_h, reason="acceptance")


def cleaned_without_help(lot, spot, after=1.1 * LOW):
    measured(spot, date(2026, 5, 1), LOW)
    cleaned(lot, date(2026, 5, 2))
    measured(spot, date(2026, 5, 3), after)


def test_load_low_since_placing_that_cleaning_never_helped_is_named(lot):
    sealed, fine = spot_in(lot, "A3"), spot_in(lot, "A1")
    accepted(sealed, LOW)
    accepted(fine, HIGH)
    cleaned_without_help(lot, sealed)
    told = rule(due_at(lot), 6)
    assert told["holds"] is True
    assert told["words"] == "load 2: 90 mm/h since placing; the best gain of a cleaning was 1.1."


@pytest.mark.parametrize(
    ("panel", "point", "holds", "words"),
    [
        ("A3", {}, None, "load 2: may be low since placing"),
        ("A2", {}, None, "lies on load 1 or 2"),
        ("A2", {"right_m": 1.0, "up_m": 3.5}, None, "load 1: may be low since placing"),
        ("A2", {"right_m": 1.0, "up_m": 4.4}, None, "lies on load 1 or 2"),
    ],
)
def test_low_acceptance_counts_only_where_its_load_is_certain(lot, panel, point, holds, words):
    accepted(spot_in(lot, panel, **point), LOW)
    told = rule(due_at(lot), 6)
    assert told["holds"] is holds
    assert words in told["words"]


def test_no_load_is_low_where_all_tested_are_fast_or_cleaning_helped(lot):
    spot = spot_in(lot, "A3")
    accepted(spot, LOW)
    cleaned_without_help(lot, spot, after=2.0 * LOW)
    told = rule(due_at(lot), 6)
    assert told["holds"] is False
    assert told["words"].startswith("Loads with an acceptance test: 1 of 2;")


def test_what_was_above_later_was_not_low_since_placing(lot):
    spot = spot_in(lot, "A3")
    accepted(spot, LOW)
    measured(spot, date(2018, 5, 1), HIGH)
    assert rule(due_at(lot), 6)["holds"] is False


def test_dry_broom_alone_does_not_show_that_cleaning_never_helps(lot):
    spot = spot_in(lot, "A3")
    accepted(spot, LOW)
    measured(spot, date(2026, 5, 1), LOW)
    cleaned(lot, date(2026, 5, 2), method="broom")
    measured(spot, date(2026, 5, 3), LOW)
    assert rule(due_at(lot), 6)["holds"] is None


def test_replaced_panel_and_work_not_handed_over_tell_of_no_load(lot):
    sealed = spot_in(lot, "A3")
    accepted(sealed, LOW)
    cleaned_without_help(lot, sealed)
    Panel.objects.filter(name="A3").update(exists_to_on="2026-06-01", ended_as="replaced")
    assert rule(due_at(lot), 6)["words"] == "No acceptance test by load."
    Panel.objects.filter(name="A3").update(exists_to_on=None, ended_as="")
    lot.warranties.update(state="not_started")
    assert rule(due_at(lot), 6)["words"] == "No acceptance test by load."
    assert Spot.objects.get().ended_on is None
