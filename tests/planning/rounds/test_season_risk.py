"""What a season's plan buys, held to sums by hand."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from registry.planning.rounds.faults import RoundError
from registry.planning.rounds.season_risk import Chances, season_risk, usual_site_minutes
from tests.planning.rounds.small import MONDAY, crew_day, order, plan, problem, stop

MONTHS = (date(2026, 8, 1), date(2026, 9, 1), date(2026, 10, 1))
OCTOBER = {"earliest_on": date(2026, 10, 1), "latest_on": date(2026, 10, 31)}
GIVEN = problem(order(), order("B", "b", **OCTOBER), order("C", "c", **OCTOBER), days=60)
PLAN = plan(crew_day("07:00", stop("A", "07:10", "08:10"), returns="08:20"))
CHANCES = Chances(
    orders=("A", "B", "C"),
    months=MONTHS,
    not_cleaned=np.array([[0.2, 0.3, 0.4], [0.1, 0.2, 0.6], [0.0, 0.1, 0.2]]),
    cleaned=np.array([[0.2, 0.1, 0.05], [0.1, 0.2, 0.1], [0.0, 0.1, 0.05]]),
)
COST = {"north": 900.0}


def test_expected_numbers_by_month_by_hand():
    risk = season_risk(GIVEN, PLAN, CHANCES, COST)
    assert [m.without_plan for m in risk.months] == pytest.approx([0.3, 0.6, 1.2])
    assert [m.with_plan for m in risk.months] == pytest.approx([0.3, 0.4, 0.85])
    assert [m.crew_days for m in risk.months] == [0, 1, 0]
    assert [m.cost for m in risk.months] == [0, 900, 0]
    assert (risk.without_plan, risk.with_plan) == pytest.approx((2.1, 1.55))
    assert (risk.crew_days, risk.cost) == (1, 900)


def test_one_crew_day_more_by_hand():
    """The fullest day holds 60 minutes: B, which spares 0.5, and not C, which spares 0.15."""
    risk = season_risk(GIVEN, PLAN, CHANCES, COST)
    assert usual_site_minutes(GIVEN, PLAN) == 60
    august, september, october = (m.one_more_avoids for m in risk.months)
    assert (august, september) == (None, None)
    assert october == pytest.approx(0.5)


def test_a_longer_day_more_holds_both():
    longer = problem(order(service_minutes=120), *GIVEN.orders[1:], days=60)
    october = season_risk(longer, PLAN, CHANCES, COST).months[2]
    assert october.one_more_avoids == pytest.approx(0.65)


def test_the_plan_never_raises_what_cleaning_does_not():
    risk = season_risk(GIVEN, PLAN, CHANCES, COST)
    assert all(month.with_plan <= month.without_plan for month in risk.months)
    empty = season_risk(GIVEN, plan(), CHANCES, COST)
    assert [m.with_plan for m in empty.months] == [m.without_plan for m in empty.months]
    assert [m.one_more_avoids for m in empty.months] == [None, None, None]  # no day to go by


def test_rows_may_come_in_any_order():
    turned = Chances(
        ("C", "B", "A"), MONTHS, CHANCES.not_cleaned[::-1].copy(), CHANCES.cleaned[::-1].copy()
    )
    first, again = (season_risk(GIVEN, PLAN, c, COST) for c in (CHANCES, turned))
    assert [m.with_plan for m in first.months] == pytest.approx([m.with_plan for m in again.months])


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"orders": ("A", "B")}, "2 orders and 3 months"),
        ({"cleaned": CHANCES.cleaned + 1}, "from 0 to 1"),
        ({"not_cleaned": CHANCES.not_cleaned * np.nan}, "from 0 to 1"),
        ({"orders": ("A", "A", "B")}, "two rows"),
    ],
)
def test_chances_that_cannot_be_are_refused(changes, said):
    with pytest.raises(RoundError, match=said):
        replace(CHANCES, **changes)


def test_strangers_and_days_without_a_cost_are_refused():
    with pytest.raises(RoundError, match="Z, which is no order"):
        season_risk(GIVEN, PLAN, replace(CHANCES, orders=("A", "B", "Z")), COST)
    with pytest.raises(RoundError, match="north"):
        season_risk(GIVEN, PLAN, CHANCES, {})
    assert GIVEN.first_on == MONDAY
