"""Invented rounds, the same every time for a seed."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from registry.planning.rounds.crew import Crew, Machine
from registry.planning.rounds.hours import ClockSpan, week
from registry.planning.rounds.order import Limits, Needs, Order
from registry.planning.rounds.problem import Problem
from registry.planning.rounds.travel import travel_from_coordinates

MONDAY = date(2026, 9, 14)
ZONE = ZoneInfo("America/New_York")
AS_OF = datetime(2026, 9, 13, 12, tzinfo=UTC)
WEEKDAYS = range(5)
VACUUM, WASH = "full vacuum", "pressure wash and vacuum"


def invented_round(orders: int, days: int, crews: int, seed: int, **changes) -> Problem:
    """A town of 20 km across: three orders in ten with hours of their own, one in ten overdue.

    Half of the crews have a wash unit too; one order in eight needs it. An order may be done within
    2 to 8 weeks; work on site takes 1 to 2 h, so that the crews are busy about four fifths of
    their time where there are 4 orders to each day and crew.
    """
    rng = np.random.default_rng(seed)
    lon = -71.5 + rng.uniform(-0.12, 0.12, orders + 1)
    lat = 41.8 + rng.uniform(-0.09, 0.09, orders + 1)
    places = {f"site {n}": (lon[n], lat[n]) for n in range(orders)}
    places["yard"] = (-71.5, 41.8)
    return Problem(
        first_on=MONDAY,
        days=days,
        zone=ZONE,
        as_of=AS_OF,
        crews=tuple(invented_crew(n) for n in range(crews)),
        orders=tuple(_order(n, days, rng) for n in range(orders)),
        travel=travel_from_coordinates(places, detour_factor=1.3, speed_km_h=40),
        **changes,
    )


def invented_crew(n: int) -> Crew:
    methods = frozenset({VACUUM, WASH} if n % 2 == 0 else {VACUUM})
    return Crew(
        ref=f"crew {n + 1}",
        depot="yard",
        machine=Machine(methods=methods, axle_kg=6000, height_m=3.2),
        shifts=week(WEEKDAYS, time(7), time(15, 30)),
        breaks=(ClockSpan(time(11), time(11, 30)),),
    )


def _order(n: int, days: int, rng: np.random.Generator) -> Order:
    first = int(rng.integers(0, max(1, days - 14)))
    last = min(days - 1, first + int(rng.integers(14, 57)))
    if rng.uniform() < 0.1:
        first, last = -30, -2
    opens = int(rng.choice([7, 9, 12]))
    hours = week(WEEKDAYS, time(opens), time(opens + 4)) if rng.uniform() < 0.3 else ()
    return Order(
        ref=f"W-{n:04}",
        place=f"site {n}",
        method=WASH if rng.uniform() < 0.125 else VACUUM,
        service_minutes=int(rng.integers(40, 90)),
        earliest_on=MONDAY + timedelta(days=first),
        latest_on=MONDAY + timedelta(days=last),
        prize=int(rng.integers(200, 3000)),
        windows=hours,
        notice_hours=72,
        limits=Limits(axle_kg=8000, height_m=3.5),
        needs=Needs(people=2),
    )
