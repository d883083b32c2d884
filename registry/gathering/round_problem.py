"""Rows to the problem of a round: crews, orders, places, hours, pins, days locked or called off."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from hashlib import sha256
from zoneinfo import ZoneInfo

from registry.gathering.round_crews import CrewRows, crew_rows, dump_place, round_crews, water_point
from registry.gathering.round_orders import (
    CrewPair,
    dump_minutes,
    facts_of_orders,
    orders_to_plan,
    own_orders,
    round_order,
    with_what_a_round_needs,
)
from registry.gathering.round_places import RoundPlaces, place_of
from registry.gathering.round_seasons import not_looked_at
from registry.gathering.round_start import begins_late, next_quarter
from registry.gathering.round_weather import rain_assumed, weather_of
from registry.gathering.round_windows import open_hours
from registry.gathering.work_limits import limits_told
from registry.models import (
    Crew,
    DumpPlace,
    Organisation,
    Pavement,
    Round,
    RoundCallOff,
    RoundDay,
    RoundPin,
    RoundStop,
    SiteWindow,
    WaterPoint,
    WorkOrder,
)
from registry.models.crew_place import CrewPlace
from registry.planning.rounds import crew as pure
from registry.planning.rounds.faults import RoundError
from registry.planning.rounds.order import Order
from registry.planning.rounds.plan import CrewDay, Stop, StopKind
from registry.planning.rounds.problem import Problem
from registry.planning.rules import Breach


@dataclass(frozen=True, eq=False)
class RoundInput:
    """A problem, the rows its names stand for, and what could not be put into it.

    not_ready   orders that cannot be planned as they are written, with the rule and why
    notes       crews that are not planned, in words
    """

    problem: Problem
    orders: dict[str, WorkOrder]
    crews: dict[str, Crew]
    places: RoundPlaces
    place_rows: dict[str, CrewPlace]
    not_ready: tuple[tuple[WorkOrder, Breach], ...]
    notes: tuple[str, ...]

    @cached_property
    def ref_of(self) -> dict[int, str]:
        """The name of each order by its key."""
        return {order.pk: ref for ref, order in self.orders.items()}

    def with_locked(self, days: Iterable[CrewDay]) -> Problem:
        """Return the problem with these days locked, and no others."""
        return replace(self.problem, locked=tuple(days))

    @cached_property
    def digest(self) -> str:
        """SHA-256 of all that went in, the instant it was asked for left aside."""
        p = self.problem
        parts: list[object] = [p.first_on, p.days, p.zone.key, p.overdue_days, p.overdue_factor]
        parts += [_plain(crew) for crew in p.crews]
        parts += [_plain(order) for order in p.orders]
        parts += [*p.dumps, *p.water_points, sorted(p.weather.items()), p.locked]
        parts += [sorted(p.called_off, key=str), p.travel.places, p.travel.minutes.tolist()]
        parts += [(order.pk, breach) for order, breach in self.not_ready]
        parts += [p.not_before] if p.is_cut_short else []
        return sha256(repr(parts).encode()).hexdigest()


def _plain(row: object) -> list[tuple[str, object]]:
    fields = sorted(vars(row).items())
    return [(name, sorted(v) if isinstance(v, frozenset) else v) for name, v in fields]


def gather_round(
    row: Round,
    *,
    at: datetime,
    pins: Iterable[RoundPin] | None = None,
    called_off: Iterable[RoundCallOff] | None = None,
    locked: Sequence[RoundDay] | None = None,
    not_before: datetime | None = None,
) -> RoundInput:
    """Return the problem of a round as the record stands at an instant.

    not_before   no crew leaves sooner; the next full quarter of an hour after `at` where None
    pins, called_off, locked   of the row itself where None; locked days come with their stops
    Raises RoundError where it contradicts itself.
    """
    pins, called_off, locked = _wishes(row, pins, called_off, locked)
    zone = ZoneInfo(row.time_zone)
    soonest = not_before or next_quarter(at)
    ready = crew_rows(row.organisation)
    rows = orders_to_plan(row, at=at, today=at.astimezone(zone).date())
    rows = _with_locked(rows, locked)
    stations = _dump_and_water_rows(row.organisation, rows)
    depots = [crew.depot for crew in ready.crews if crew.depot is not None]
    everywhere: list[CrewPlace | Pavement] = [*depots, *stations, *(o.pavement for o in rows)]
    places = RoundPlaces(place_of(place) for place in everywhere)
    known, notes = _within_reach(row, ready, places)
    notes += begins_late(row.first_on, soonest.astimezone(zone))
    refs = order_refs(rows)
    crews = round_crews(row, known, places)
    pairs = list(zip(known, crews, strict=True))
    orders, not_ready, unread = _orders(row, rows, refs, pairs, places, pins, locked)
    _refuse_locked(locked, {refs[o.pk] for o, _ in not_ready}, refs)
    dumps, points = _dumps_and_points(row, rows, stations, places)
    used = [*(c.depot for c in crews), *(o.place for o in orders)]
    used += [*(d.place for d in dumps), *(p.place for p in points)]
    problem = Problem(
        first_on=row.first_on,
        days=row.days,
        zone=zone,
        as_of=at,
        crews=crews,
        orders=tuple(orders),
        travel=places.travel(row, used),
        dumps=dumps,
        water_points=points,
        weather=weather_of(row),
        called_off=frozenset((off.crew.name if off.crew else None, off.on) for off in called_off),
        locked=tuple(crew_day(day, day.stops.all(), refs, places) for day in locked),
        not_before=soonest,
    )
    given = {order.ref for order in orders}
    return RoundInput(
        problem=problem,
        orders={refs[o.pk]: o for o in rows if refs[o.pk] in given},
        crews={crew.name: crew for crew in known},
        places=places,
        place_rows={places.name_of(p): p for p in stations},
        not_ready=not_ready,
        notes=(*notes, *unread, *rain_assumed(row, orders)),
    )


def _within_reach(row: Round, ready: CrewRows, places: RoundPlaces) -> tuple[list[Crew], list[str]]:
    """Crews from whose depot driving times are known, and in words why others are not planned."""
    known = [crew for crew in ready.crews if places.is_known(places.name_of(crew.depot), row)]  # type: ignore[arg-type]
    unknown = [
        f"Crew “{crew.name}” is not planned: no driving time from “{crew.depot}” is known."
        for crew in ready.crews
        if crew not in known
    ]
    return known, [*ready.not_ready, *unknown]


def _wishes(
    row: Round,
    pins: Iterable[RoundPin] | None,
    called_off: Iterable[RoundCallOff] | None,
    locked: Sequence[RoundDay] | None,
) -> tuple[Iterable[RoundPin], Iterable[RoundCallOff], Sequence[RoundDay]]:
    """What a person asked of a round: what is given, else what is stored with it."""
    stored = row.pk is not None
    if pins is None:
        pins = row.pins.select_related("crew") if stored else ()
    if called_off is None:
        called_off = row.called_off.select_related("crew") if stored else ()
    if locked is None:
        locked = locked_days(row) if stored else ()
    return pins, called_off, locked


def local_times_of(organisation: Organisation, *, at: datetime) -> list[str]:
    """Return the local times of the sites of an organisation's orders; its own without any."""
    zones = own_orders(organisation, at=at).order_by().values_list("pavement__site__time_zone")
    return sorted({zone for (zone,) in zones.distinct()}) or [organisation.time_zone]


def place_names_of(organisation: Organisation, *, at: datetime) -> list[str]:
    """Return the names that a table of driving times gives to the places of the next round."""
    orders = list(with_what_a_round_needs(own_orders(organisation, at=at)))
    crews = crew_rows(organisation).crews
    everywhere: list[CrewPlace | Pavement] = [c.depot for c in crews if c.depot is not None]
    everywhere += _dump_and_water_rows(organisation, orders)
    everywhere += [order.pavement for order in orders]
    return sorted(set(RoundPlaces(place_of(place) for place in everywhere).names.values()))


def locked_days(row: Round) -> list[RoundDay]:
    """Return the locked days of a round, with their stops."""
    return list(row.crew_days.filter(is_locked=True).with_stops())


def _with_locked(rows: list[WorkOrder], locked: Sequence[RoundDay]) -> list[WorkOrder]:
    """The orders of locked days are given too, whatever became of them since."""
    there = {order.pk for order in rows}
    held = {stop.order_id for day in locked for stop in day.stops.all() if stop.order_id}
    more = with_what_a_round_needs(WorkOrder.objects.filter(pk__in=held - there))
    return [*rows, *more.order_by("pk")]


def _refuse_locked(locked: Sequence[RoundDay], not_ready: set[str], refs: dict[int, str]) -> None:
    for day in locked:
        for stop in day.stops.all():
            if stop.order_id and refs[stop.order_id] in not_ready:
                ref = refs[stop.order_id]
                raise RoundError(
                    f"{day.on} of crew {day.crew} is locked with order {ref}, which cannot be "
                    "planned as it is written now. Set the day free, or mend the order."
                )


def order_refs(rows: Iterable[WorkOrder]) -> dict[int, str]:
    """Return by key what an order is called: its number, and its keeper where two have one."""
    rows = list(rows)
    times = Counter(row.number for row in rows)
    return {
        row.pk: row.number if times[row.number] == 1 else f"{row.number} ({row.organisation})"
        for row in rows
    }


def _dump_and_water_rows(
    organisation: Organisation, orders: Iterable[WorkOrder]
) -> list[CrewPlace]:
    own: list[CrewPlace] = [
        *DumpPlace.objects.standing().filter(organisation=organisation),
        *WaterPoint.objects.standing().filter(organisation=organisation),
    ]
    named = [p for order in orders for p in (order.dump_place, order.water_point) if p is not None]
    return list({(type(p), p.pk): p for p in [*own, *named]}.values())


def _orders(
    row: Round,
    rows: Sequence[WorkOrder],
    refs: dict[int, str],
    crews: Sequence[CrewPair],
    places: RoundPlaces,
    pins: Iterable[RoundPin],
    locked: Iterable[RoundDay],
) -> tuple[list[Order], tuple[tuple[WorkOrder, Breach], ...], list[str]]:
    """Orders ready, others with the rule, and in words what could not be looked at."""
    sites = {order.pavement.site_id for order in rows}
    windows: dict[int, list[SiteWindow]] = {}
    for window in SiteWindow.objects.standing().filter(site__in=sites).order_by("pk"):
        windows.setdefault(window.site_id, []).append(window)
    pavements = {order.pavement_id: order.pavement for order in rows}
    hours = {
        pk: open_hours(row, pavement, windows.get(pavement.site_id, ()))
        for pk, pavement in pavements.items()
    }
    kept = {stop.order_id for day in locked if day.on < row.first_on for stop in day.stops.all()}
    facts = facts_of_orders(row, rows, hours, pins, kept)
    made = [
        (order, round_order(row, order, refs[order.pk], facts[order.pk], crews, places))
        for order in rows
    ]
    ready = [order for _, order in made if isinstance(order, Order)]
    unread = not_looked_at({pk: one.season for pk, one in facts.items()}, refs)
    unread += limits_told(facts[order.pk].season.limits for order in rows)
    return ready, tuple((o, b) for o, b in made if isinstance(b, Breach)), unread


def _dumps_and_points(
    row: Round,
    orders: Sequence[WorkOrder],
    stations: Iterable[CrewPlace],
    places: RoundPlaces,
) -> tuple[tuple[pure.DumpPlace, ...], tuple[pure.WaterPoint, ...]]:
    dumps, points = [], []
    for place in stations:
        name = places.name_of(place)
        if not places.is_known(name, row):
            continue
        if isinstance(place, DumpPlace):
            runs = [dump_minutes(o) for o in orders if o.dump_place_id == place.pk]
            if place.unloading_min is not None or runs:
                dumps.append(dump_place(place, name, max(runs, default=1) or 1))
        elif isinstance(place, WaterPoint):
            points.append(water_point(place, name, (row.first_on, row.last_on)))
    return tuple(dumps), tuple(points)


def crew_day(
    day: RoundDay, stops: Iterable[RoundStop], refs: dict[int, str], places: RoundPlaces
) -> CrewDay:
    """Return a stored day, with some of its stops, as the pure rooms take it."""
    return CrewDay(
        crew=day.crew.name,
        on=day.on,
        leaves_at=day.leaves_at,
        stops=tuple(
            Stop(
                StopKind(stop.kind),
                refs[stop.order_id] if stop.order_id else places.name_of(stop.place),  # type: ignore[arg-type]
                stop.begins_at,
                stop.ends_at,
            )
            for stop in stops
        ),
        returns_at=day.returns_at,
    )
