"""How long taking over a solved plan of 1 000 orders takes, and how often it asks the database.

Run alone: pytest tests/benchmarks/test_take_over_speed.py -m benchmark -s
Seconds are those of the processor, so that other work on the machine does not count. Asked for:
10 s at most. The plan is that of the nearest-due rule, which is there at once.
"""

import time
from datetime import timedelta

import pytest
from django.db import connection

from registry.actions.store_round_plan import store_plan
from registry.actions.take_over_round import take_over_round
from registry.gathering.round_plan import cost_of
from registry.gathering.round_problem import gather_round
from registry.models import RoundState, WorkOrder
from registry.planning.rounds.greedy import greedy_round
from tests.factories import DepotFactory
from tests.gathering.rounds import AT, LAT, LON, MONDAY, asked, crew, keeper, order

pytestmark = [pytest.mark.benchmark, pytest.mark.slow, pytest.mark.django_db]
ORDERS, DAYS, CREWS, MOST_S = 1000, 90, 4, 10.0


@pytest.fixture
def solved(db):
    """A round of which every order has a place, stored with its plan."""
    org = keeper()
    yard = DepotFactory(organisation=org, name="yard", lon=LON, lat=LAT)
    for nth in range(CREWS):
        crew(org, name=f"crew {nth}", depot=yard)
    for n in range(ORDERS):
        order(org, n=n, site={"lon": LON + 0.0001 * n, "lat": LAT})
    row = asked(org, last_on=MONDAY + timedelta(days=DAYS - 1))
    given = gather_round(row, at=AT)
    plan = greedy_round(given.problem)
    row.state, row.objective = RoundState.DONE, cost_of(given.problem, plan)
    row.save()
    store_plan(row, given, plan)
    return row, sum(len(day.order_refs) for day in plan.days)


def test_thousand_orders_are_dated_in_ten_seconds(solved):
    row, placed = solved
    begun = time.process_time()
    asked_of_it: list[str] = []

    def count(execute, sql, params, many, context):
        asked_of_it.append(sql)
        return execute(sql, params, many, context)

    with connection.execute_wrapper(count):
        taken = take_over_round(row, first_on=row.first_on, last_on=row.last_on, by=None)
    seconds = time.process_time() - begun
    asked_times = len(asked_of_it)
    print(f"\n{taken.orders} orders, {taken.days} days: {seconds:.1f} s, {asked_times} questions")
    assert taken.orders == placed == ORDERS
    assert WorkOrder.objects.filter(state="dated").count() == ORDERS
    assert seconds <= MOST_S
