"""One crew's day: the stops of the round in force in their order, and what is dated beside it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime

from django.db.models import Prefetch

from registry.gathering.calendar import NOT_ON_A_DAY
from registry.gathering.order_rows import rest_of_orders
from registry.models import (
    Crew,
    DumpPlace,
    Panel,
    Round,
    RoundDay,
    RoundStop,
    StopKind,
    WaterPoint,
    WorkOrder,
)
from registry.models.work_order import WorkOrderQuerySet

NOT_SHOWN = "an order that is not shown to you any more"
OF_STOPS = ("dump_place", "water_point")


@dataclass(frozen=True)
class DayStop:
    """A stop: at an order's pavement, or at a dump place or water point. No time: not in a round.

    zone   local time at the stop;  kind  a value of StopKind
    rest   the panels still to do, where a part of the order was done before
    """

    number: int
    kind: str
    zone: str
    order: WorkOrder | None = None
    place: DumpPlace | WaterPoint | None = None
    arrives_at: datetime | None = None
    begins_at: datetime | None = None
    ends_at: datetime | None = None
    drive_min: int | None = None
    rest: tuple[Panel, ...] = ()


@dataclass(frozen=True)
class CrewDay:
    """The day. `left_out` are stops of the round that are not for this day any more, in words."""

    crew: Crew
    on: date
    zone: str
    round_day: RoundDay | None
    stops: tuple[DayStop, ...]
    left_out: tuple[str, ...] = ()


def gather_crew_day(crew: Crew, on: date, orders: WorkOrderQuerySet, *, zone: str) -> CrewDay:
    """Return a crew's day from the orders that may be seen; `zone` is its organisation's clock."""
    of_crew = RoundDay.objects.in_force().filter(crew=crew, on=on)
    round_day = of_crew.select_related("round").first()
    dated = dated_orders(orders, crew, on)
    planned = planned_stops(round_day) if round_day else []
    zone = round_day.round.time_zone if round_day else zone
    shown, missing = _shown(planned, dated, zone)
    in_round = {stop.order.pk for stop in shown if stop.order is not None}
    for order in dated.values():
        if order.pk not in in_round:
            there = order.pavement.site.time_zone
            shown.append(
                DayStop(len(shown) + 1, StopKind.WORK, there, order, begins_at=order.starts_at)
            )
    stops = _with_rests(shown, rest_of_orders(dated.values()))
    return CrewDay(crew, on, zone, round_day, stops, _left_out(missing, orders))


def _with_rests(stops: Iterable[DayStop], rests: Mapping[int, list[Panel]]) -> tuple[DayStop, ...]:
    """Return the stops with what is left to do at each; `rests` by order."""
    return tuple(
        replace(stop, rest=tuple(rests.get(stop.order.pk, ()))) if stop.order else stop
        for stop in stops
    )


def _left_out(missing: list[int], orders: WorkOrderQuerySet) -> tuple[str, ...]:
    """Return words for stops whose orders are not for this day, by number where they are seen."""
    if not missing:
        return ()
    seen = {order.pk: order for order in orders.filter(pk__in=missing)}
    return tuple(
        f"{seen[pk].number} ({_why_left_out(seen[pk])})" if pk in seen else NOT_SHOWN
        for pk in missing
    )


def _why_left_out(order: WorkOrder) -> str:
    if order.is_void:
        return "void"
    if order.state == "dated":
        return f"now {order.dated_for}, {order.crew or 'no crew'}"
    return order.get_state_display()


def gather_round_days(row: Round, orders: WorkOrderQuerySet) -> list[CrewDay]:
    """Return the crew-days of a round as it was worked out, its stops at orders that may be seen.

    Of a round in force too: a stop stays in the file whatever became of its order since.
    """
    rows = row.crew_days.select_related("crew").order_by("on", "crew__name", "pk")
    rows = rows.prefetch_related(
        Prefetch("stops", RoundStop.objects.select_related(*OF_STOPS).order_by("sequence"))
    )
    days = list(rows)
    ids = {stop.order_id for day in days for stop in day.stops.all() if stop.order_id}
    seen = {order.pk: order for order in with_site_facts(orders.filter(pk__in=ids))}
    rests = rest_of_orders(seen.values())
    return [_planned_day(day, seen, rests, row.time_zone) for day in days]


def _planned_day(
    day: RoundDay, seen: dict[int, WorkOrder], rests: Mapping[int, list[Panel]], zone: str
) -> CrewDay:
    shown, missing = _shown(day.stops.all(), seen, zone)
    left_out = tuple(NOT_SHOWN for _ in missing)
    return CrewDay(day.crew, day.on, zone, day, _with_rests(shown, rests), left_out)


def dated_orders(orders: WorkOrderQuerySet, crew: Crew, on: date) -> dict[int, WorkOrder]:
    """Return the orders that stand for a crew on a day, those with a clock time first."""
    rows = orders.standing().filter(crew=crew, dated_for=on).exclude(state__in=NOT_ON_A_DAY)
    found = list(with_site_facts(rows))
    found.sort(key=lambda o: (o.starts_at is None, o.starts_at and o.starts_at.timestamp(), o.pk))
    return {order.pk: order for order in found}


def with_site_facts(orders: WorkOrderQuerySet) -> WorkOrderQuerySet:
    """Fetch with each order what its stop is told by: site, hours of the site, rows."""
    rows = orders.select_related("pavement__site", "dump_place", "water_point", "crew", "sweeper")
    return rows.prefetch_related("pavement__site__windows", "panels__panel")


def planned_stops(round_day: RoundDay) -> list[RoundStop]:
    """Return the stops of a crew-day of a round, in order."""
    rows = round_day.stops.select_related(*OF_STOPS)
    return list(rows.order_by("sequence"))


def _shown(
    planned: Iterable[RoundStop], dated: dict[int, WorkOrder], zone: str
) -> tuple[list[DayStop], list[int]]:
    """Return the stops at `dated` orders, numbered anew, and ids of the orders of the others."""
    shown: list[DayStop] = []
    missing: list[int] = []
    for stop in planned:
        order = dated.get(stop.order_id) if stop.order_id else None
        if stop.order_id and order is None:
            missing.append(stop.order_id)
            continue
        shown.append(
            DayStop(
                number=len(shown) + 1,
                kind=stop.kind,
                zone=order.pavement.site.time_zone if order else zone,
                order=order,
                place=stop.dump_place or stop.water_point,
                arrives_at=stop.arrives_at,
                begins_at=stop.begins_at,
                ends_at=stop.ends_at,
                drive_min=stop.drive_min,
            )
        )
    return shown, missing
