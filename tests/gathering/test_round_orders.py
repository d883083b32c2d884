"""What an order is worth in a round, and how much of it is left to do."""

from datetime import timedelta

import pytest

from registry.gathering.round_plan import solve_gathered
from registry.gathering.round_problem import gather_round
from tests.factories import CleaningFactory, DueFactory, PanelFactory
from tests.gathering.rounds import AT, MONDAY, asked, crew, keeper, order

pytestmark = pytest.mark.django_db
DAY = timedelta(days=1)


def test_what_is_likelier_below_its_level_is_worth_more():
    org = keeper()
    crew(org)
    order(org, n=1)
    order(org, n=2, reason="below_level")
    first, second = gather_round(asked(org), at=AT).problem.orders
    assert first.prize < second.prize


def test_missed_window_before_frost_goes_ahead_of_what_is_below_and_overdue():
    org = keeper()
    # 56 minutes on site and 3 of driving each way: the shift has room for one
    crew(org, shifts=[[0, "07:00", "08:30"]])
    order(org, n=1, reason="below_level", latest_on=MONDAY - 9 * DAY)
    DueFactory(pavement=order(org, n=2, latest_on=MONDAY).pavement, missed_window=True)
    row = asked(org, last_on=MONDAY)
    result = solve_gathered(row, gather_round(row, at=AT), clock=lambda: 0.0)
    assert set(result.plan.day_of_order) == {"W-2"}
    assert [left.order for left in result.plan.left_out] == ["W-1"]


@pytest.mark.parametrize("state", ["in_part", "dated"])
def test_order_done_in_part_takes_the_time_of_its_rest_though_it_has_a_day_again(state):
    org = keeper()
    crew(org)
    dated_for = MONDAY if state == "dated" else None
    row = order(org, state=state, dated_for=dated_for)
    done = CleaningFactory(
        pavement=row.pavement, work_order=row, state="in_part", missed_why="cars"
    )
    panel = PanelFactory(pavement=row.pavement, width_m=10.0, length_m=50.0)
    done.panels.create(panel=panel, is_missed=True, why="cars")
    (left,) = gather_round(asked(org), at=AT).problem.orders
    # N21 by hand: 500 / (1.5 * 2.4 * 1000 / 3600 * 0.65) / 60 + 30 = 42.8 minutes.
    assert left.minutes_for("crew A") == 43
