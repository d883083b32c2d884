"""Dated orders as the plan of a round, so that the season's risk can be worked out of it."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, date, datetime, time
from math import ceil

import numpy as np

from registry.gathering.order_rows import area_at_hand_m2
from registry.models import Machine, Panel, WorkOrder
from registry.planning.faults import PlanningError
from registry.planning.rounds import crew as pure
from registry.planning.rounds.order import Order
from registry.planning.rounds.plan import CrewDay, Plan, Stop, StopKind
from registry.planning.rounds.problem import Problem
from registry.planning.rounds.travel import Travel
from registry.planning.site_hours import machine_hours, site_hours

PLACE = "site"
NO_CREW = "no crew chosen"
FIGURES = ("head_width_m", "speed_km_h")


def ref_of(order: WorkOrder) -> str:
    """Return the name of an order in its round."""
    return str(order.pk)


def minutes_of_order(
    order: WorkOrder, machines: Iterable[Machine], rest: Iterable[Panel] = ()
) -> int | None:
    """Return the minutes on site (N21) by its crew's machine, else by the slowest that may do it.

    rest   the panels that are left, where a part was done before
    None where area, passes or what the machine measures is not known.
    """
    area, own = area_at_hand_m2(order, rest), order.crew.machine if order.crew else None
    if area is None or not order.passes:
        return None
    found = [
        _minutes(order, area, machine)
        for machine in ([own] if own else machines)
        if order.method in machine.methods
    ]
    return max((minutes for minutes in found if minutes is not None), default=None)


def _minutes(order: WorkOrder, area_m2: float, machine: Machine) -> int | None:
    share = order.efficiency or machine.efficiency
    if share is None or any(getattr(machine, name) is None for name in FIGURES):
        return None
    try:
        at_work = machine_hours(
            area_m2, order.passes or 0, machine.head_width_m or 0, machine.speed_km_h or 0, share
        )
        hours = site_hours(
            at_work,
            edges_h=order.edges_h or 0,
            set_up_h=order.set_up_h or 0,
            dump_and_water_h=order.dump_and_water_h or 0,
        )
    except PlanningError:  # the order or machine holds a figure that no work can have
        return None
    return max(ceil(round(60 * hours.total_h, 6)), 1)


def round_of_orders(
    dated: Sequence[WorkOrder],
    spare: Sequence[WorkOrder],
    minutes: Mapping[int, int],
    *,
    first_on: date,
    last_on: date,
) -> tuple[Problem, Plan]:
    """Return the orders as a round whose plan is the days they are dated for.

    A dated order whose time on site is not known counts a minute: the fullest crew-days alone tell
    what one more could hold.
    """
    by_day: dict[tuple[str, date], list[WorkOrder]] = defaultdict(list)
    for order in dated:
        if order.dated_for is not None:
            by_day[_crew(order), order.dated_for].append(order)
    crews = sorted({crew for crew, _ in by_day})
    machine = pure.Machine(methods=frozenset({"any"}))
    problem = Problem(
        first_on=first_on,
        days=(last_on - first_on).days + 1,
        zone=UTC,  # type: ignore[arg-type]  # no clock of this round is read
        as_of=datetime.combine(first_on, time.min, UTC),
        crews=tuple(pure.Crew(ref=c, depot=PLACE, machine=machine, shifts=()) for c in crews),
        orders=tuple(
            _order(order, minutes.get(order.pk, 1), first_on, last_on) for order in (*dated, *spare)
        ),
        travel=Travel((PLACE,), np.zeros((1, 1), np.int64)),
    )
    days = [_crew_day(crew, on, rows) for (crew, on), rows in sorted(by_day.items(), key=_by_day)]
    return problem, Plan(tuple(days))


def _by_day(item: tuple[tuple[str, date], list[WorkOrder]]) -> tuple[date, str]:
    (crew, on), _ = item
    return on, crew


def _crew(order: WorkOrder) -> str:
    return f"crew {order.crew_id}" if order.crew_id else str(order.sweeper or NO_CREW)


def _order(order: WorkOrder, minutes: int, first_on: date, last_on: date) -> Order:
    latest = order.latest_on or max(last_on, order.earliest_on or last_on)
    return Order(
        ref=ref_of(order),
        place=PLACE,
        method=order.method,
        service_minutes=minutes,
        earliest_on=order.earliest_on or min(first_on, latest),
        latest_on=latest,
        prize=0,
    )


def _crew_day(crew: str, on: date, orders: Iterable[WorkOrder]) -> CrewDay:
    at = datetime.combine(on, time.min, UTC)
    stops = tuple(Stop(StopKind.WORK, ref_of(order), at, at) for order in orders)
    return CrewDay(crew, on, at, stops, at)
