"""Rule 6 of "no longer enough" follows loads, spreads, hand-overs and warranties at once."""

from datetime import date

import pytest

from registry.actions.add_entry import add_entry
from registry.actions.add_load import add_load
from registry.actions.correct_entry import correct_entry
from registry.actions.move_signed import move_signed
from registry.actions.refresh_dues import refresh_dues
from registry.actions.refresh_standing import refreshed_at_the_end
from registry.actions.void_entry import void_entry
from registry.models import Due, Load, Price, Spread
from registry.models.entry import Change
from registry.planning.enough_facts import EnoughRule
from tests import factories
from tests.actions.test_refresh_dues import queued
from tests.gathering.test_due_facts import ACTION, measured
from tests.placing_factories import (
    HandOverFactory,
    LoadFactory,
    PlacingDayFactory,
    SpreadFactory,
    WarrantyFactory,
)

pytestmark = pytest.mark.django_db
NOBODY = {"by": None, "organisation": None}
PLACED = date(2015, 5, 1)
LOW = 90.0


@pytest.fixture
def day():
    """One panel in service, low at acceptance; its placing day."""
    row = factories.PavementFactory(placed_on=PLACED)
    factories.CriteriaFactory(pavement=row, action_rate_mm_h=ACTION)
    panel = factories.PanelFactory(
        pavement=row, plan=factories.PlanFactory(pavement=row), name="A1", right_m=0, up_m=0,
        width_m=3.0, length_m=3.0,
    )  # fmt: skip
    spot = factories.SpotFactory(pavement=row, panel=panel)
    measured(spot, date(2015, 5, 12), LOW, reason="acceptance")
    return PlacingDayFactory(pavement=row, placed_on=PLACED)


@pytest.fixture
def spread(day):
    load = LoadFactory(placing_day=day, number="1", state="placed")
    return SpreadFactory(load=load, lane="A", from_m=0.0, to_m=3.0)


def handed_over(day):
    return WarrantyFactory(pavement=day.pavement, state="running")


def words(day):
    told = Due.objects.get(pavement=day.pavement).enough["si"]
    return next(a["words"] for a in told if a["rule"] == EnoughRule.SINCE_PLACING)


def test_load_and_where_it_lies_are_told_of_at_once(day):
    handed_over(day)
    load = add_load(Load(placing_day=day, number="7", system="si"), **NOBODY)
    assert words(day) == "No acceptance test by load."
    row = add_entry(Spread(load=load, lane="A", from_m=0.0, to_m=3.0), **NOBODY)
    assert words(day).startswith("load 7: may be low since placing")
    named = correct_entry(load, changes={"number": Change("8", "7")}, why="read", **NOBODY)
    assert words(day).startswith(f"load {named.number}: may be low") and named.number == "8"
    void_entry(row, why="another lane", **NOBODY)
    assert words(day) == "No acceptance test by load."


def test_load_sent_back_is_under_no_test(day, spread):
    handed_over(day)
    refresh_dues([day.pavement_id])
    assert words(day).startswith("load 1: may be low")
    load = spread.load
    Load.objects.filter(pk=load.pk).update(state="arrived")
    move_signed(load, to_state="sent_back", on=PLACED, **NOBODY)
    assert words(day) == "No acceptance test by load."


@pytest.mark.parametrize("make", ["certificate", "warranty"])
def test_loads_count_from_the_hand_over_on(day, spread, make):
    if make == "certificate":
        row, to_state = (
            HandOverFactory(pavement=day.pavement, is_first=True, state="taker"), "in_effect",
        )  # fmt: skip
    else:
        row, to_state = WarrantyFactory(pavement=day.pavement, state="not_started"), "running"
    side = {"organisation": row.giver if make == "certificate" else row.contractor}
    refresh_dues([day.pavement_id])
    assert words(day) == "No acceptance test by load."
    move_signed(row, to_state=to_state, on=date(2023, 9, 15), **{**NOBODY, **side})
    assert words(day).startswith("load 1: may be low since placing")


def test_prices_of_one_load_of_rows_queue_one_job(day):
    owner = factories.OrganisationFactory()
    with refreshed_at_the_end():
        for name in ("vacuum", "broom"):
            row = Price(organisation=owner, method_class=name, per_m2=1, currency="$")
            add_entry(row, **NOBODY)
        assert not queued("work_out_dues_kept_by")
    assert queued("work_out_dues_kept_by") == [[owner.pk]]
    add_entry(Price(organisation=owner, method_class="vacuum", per_m2=2, currency="$"), **NOBODY)
    assert queued("work_out_dues_kept_by") == [[owner.pk]] * 2


def test_many_at_once_are_told_of_when_all_are_in(day):
    handed_over(day)
    with refreshed_at_the_end():
        load = add_load(Load(placing_day=day, number="7", system="si"), **NOBODY)
        add_entry(Spread(load=load, lane="A", from_m=0.0, to_m=3.0), **NOBODY)
        assert not Due.objects.filter(pavement=day.pavement).exists()
    assert words(day).startswith("load 7: may be low since placing")
