"""Work orders as a round takes them, and in words why one cannot be planned as it is written.

An order without an earliest or a latest day may be done on any day of the round. What it is worth
(`prize`) is in minutes of driving: what any order is worth, and more the likelier its pavement is
below the action level, so that those go first where there is no room for all (N26). What missed its
window before frost goes ahead of them all, overdue or not.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from math import ceil

from django.db.models import Q

from registry.gathering.order_rows import area_at_hand_m2, rest_of_orders
from registry.gathering.round_places import RoundPlaces
from registry.gathering.round_seasons import OrderSeason, seasons_of_orders
from registry.gathering.round_windows import OpenHours
from registry.models import (
    Cleaning,
    Crew,
    Organisation,
    Panel,
    Pavement,
    Round,
    RoundPin,
    Seat,
    WorkOrder,
)
from registry.models.choices import Answer, Role
from registry.models.rights import KEEPERS
from registry.models.work_order import WorkOrderQuerySet
from registry.planning.limits import WorkLimits
from registry.planning.methods import DRY, WASHES, Method
from registry.planning.order_moves import TO_DATE
from registry.planning.rounds import crew as pure
from registry.planning.rounds.faults import RoundError
from registry.planning.rounds.order import Limits, Needs, Order
from registry.planning.rounds.site_time import site_minutes
from registry.planning.rules import Breach, Rule

PRIZE_OF_ANY = 1000
PRIZE_BELOW_LEVEL = 2000
PRIZE_MISSED_WINDOW = 6000
CHANCE_NOT_KNOWN = 0.5
"""Minutes of driving; chance taken where no outlook says one. Common practice, no source.

The prize of an overdue order counts twice (`Problem.overdue_factor`): a missed window is worth as
much as the most that this can come to, so that with what any order is worth it is worth more.
"""
DAY = timedelta(days=1)
CrewPair = tuple[Crew, pure.Crew]


@dataclass(frozen=True)
class OrderFacts:
    """What is known beside the row of an order.

    chance_below   that its pavement lies below the action level; None: not known
    debris_l_a_m2  litres a square metre at the last cleaning whose debris was measured
    missed_window  the last visit to the pavement came to nothing in its last window before frost
    rest           panels still to do, where a part of the order was done before
    """

    hours: OpenHours
    season: OrderSeason
    pin: RoundPin | None
    chance_below: float | None
    debris_l_a_m2: float | None
    missed_window: bool
    rest: Sequence[Panel]


def orders_to_plan(row: Round, *, at: datetime, today: date) -> list[WorkOrder]:
    """Return the orders of a round: to be dated, for its organisation to sweep.

    An order that is dated for a day still to come before the round, or after it, has its day.
    Those at pavements where the organisation has no seat to keep or sweep are not its own. Sites
    of another local time are planned in a round of their own.
    """
    elsewhere = Q(state="dated", dated_for__gte=today, dated_for__lt=row.first_on)
    elsewhere |= Q(state="dated", dated_for__gt=row.last_on)
    rows = own_orders(row.organisation, at=at).exclude(elsewhere)
    rows = rows.filter(pavement__site__time_zone=row.time_zone)
    return list(with_what_a_round_needs(rows).order_by("pk"))


def own_orders(organisation: Organisation, *, at: datetime) -> WorkOrderQuerySet:
    """Return the orders to be dated that an organisation has a seat to sweep."""
    seats = Seat.objects.held_at(at).filter(
        organisation=organisation, role__in=KEEPERS | {Role.SWEEPER}
    )
    own = Q(sweeper=organisation) | Q(sweeper__isnull=True, organisation=organisation)
    rows = WorkOrder.objects.standing().filter(own, state__in=TO_DATE)
    return rows.filter(pavement__in=seats.values("pavement"))


def with_what_a_round_needs(rows: WorkOrderQuerySet) -> WorkOrderQuerySet:
    """Fetch with each order the rows that a round reads."""
    return rows.select_related(
        "pavement__site", "organisation", "crew", "dump_place", "water_point"
    ).prefetch_related("panels__panel")


def facts_of_orders(
    row: Round,
    orders: Sequence[WorkOrder],
    hours: Mapping[int, OpenHours],
    pins: Iterable[RoundPin],
    kept: Collection[int | None],
) -> dict[int, OrderFacts]:
    """Return what is known beside each order, by its key; a fixed number of queries.

    kept   orders on days before the round, which stand: no season of its days holds for them
    """
    pavements = {order.pavement_id for order in orders}
    need = {
        pk: (chance, bool(missed))
        for pk, chance, missed in Pavement.objects.filter(pk__in=pavements).values_list(
            "pk", "outlook__worst_p_below", "due__missed_window"
        )
    }
    debris: dict[tuple[int, str], float] = {}
    measured = Cleaning.objects.done().filter(
        pavement__in=pavements, debris_m3__isnull=False, area_m2__gt=0
    )
    for done in measured.order_by("done_on", "pk"):
        debris[done.pavement_id, done.method] = 1000 * done.debris_m3 / done.area_m2
    seasons, rests = seasons_of_orders(row, orders), rest_of_orders(orders)
    pin_of = {pin.order_id: pin for pin in pins}
    return {
        order.pk: OrderFacts(
            hours=hours.get(order.pavement_id, OpenHours()),
            season=_of_its_days(order.pk in kept, seasons[order.pk]),
            pin=pin_of.get(order.pk),
            chance_below=need[order.pavement_id][0],
            debris_l_a_m2=debris.get((order.pavement_id, order.method)),
            missed_window=need[order.pavement_id][1],
            rest=rests.get(order.pk, ()),
        )
        for order in orders
    }


def round_order(
    row: Round,
    order: WorkOrder,
    ref: str,
    facts: OrderFacts,
    crews: Sequence[CrewPair],
    places: RoundPlaces,
) -> Order | Breach:
    """Return an order as a round takes it, or the rule that cannot be looked at and why."""
    area = area_at_hand_m2(order, facts.rest)
    minutes = _unreachable(row, order, places) or _minutes(order, area, crews)
    if isinstance(minutes, Breach):
        return minutes
    season = facts.season.spans
    if season is None:
        words = f"By the calendar no day of the round is for “{order.get_method_display()}”"
        return Breach(Rule.SEASON, f"{words}: {facts.season.why}.")
    site, method = order.pavement.site, Method(order.method)
    earliest, latest = _days(row, order, facts.season.latest_on)
    pinned_on, pinned_to = _pins(row, order, facts.pin)
    try:
        return Order(
            ref=ref,
            place=places.name_of(order.pavement),
            method=order.method,
            service_minutes=max(minutes.values(), default=1),
            service_by_crew=minutes,
            earliest_on=earliest,
            latest_on=latest,
            prize=_prize(order, facts),
            windows=facts.hours.windows,
            closed_on=facts.hours.closed_on,
            noise=facts.hours.noise,
            notice_hours=ceil(site.notice_h or 0),
            notice_at=order.notice_posted_at,
            season=season,
            limits=Limits(
                axle_kg=site.axle_limit_kg,
                height_m=site.clearance_m,
                width_m=site.way_in_width_m,
                turning_m=site.turning_m,
            ),
            needs=_needs(order, method, facts.season.limits),
            debris_l=0 if order.dump_place else ceil((facts.debris_l_a_m2 or 0) * (area or 0)),
            dump=places.name_of(order.dump_place) if order.dump_place else None,
            dump_minutes=dump_minutes(order),
            water=places.name_of(order.water_point) if order.water_point else None,
            pinned_on=pinned_on,
            pinned_to=pinned_to,
        )
    except RoundError as fault:
        return Breach(Rule.SERVICE, fault.message)


def _of_its_days(is_kept: bool, season: OrderSeason) -> OrderSeason:
    return OrderSeason(limits=season.limits) if is_kept else season


def _unreachable(row: Round, order: WorkOrder, places: RoundPlaces) -> Breach | None:
    """Say to which of the places of an order no driving time is known."""
    for place, rule in (
        (order.pavement, Rule.TRAVEL),
        (order.dump_place, Rule.DUMP_HOURS),
        (order.water_point, Rule.WATER_HOURS),
    ):
        if place is not None and not places.is_known(places.name_of(place), row):
            words = f"No driving time to “{places.name_of(place)}” is known: write its position, "
            return Breach(rule, words + "or bring a table that has it.")
    return None


def _days(row: Round, order: WorkOrder, sand_by: date | None) -> tuple[date, date]:
    """Return the first and last day of an order; that of the last sand where it is sooner."""
    latest = order.latest_on or max(row.last_on, order.earliest_on or row.last_on)
    if sand_by is not None and sand_by < latest:
        latest = max(sand_by, order.earliest_on or sand_by)
    return order.earliest_on or min(row.first_on, latest), latest


def dump_minutes(order: WorkOrder) -> int:
    """Return how long the dump run of an order needs its place open, at the end of its time."""
    if order.dump_place is None:
        return 0
    within = ceil(round(60 * (order.dump_and_water_h or 0), 6))
    unloading = order.dump_place.unloading_min
    return within if unloading is None else min(within, ceil(unloading))


def _needs(order: WorkOrder, method: Method, limits: WorkLimits) -> Needs:
    lowest = order.lowest_c
    if lowest is None and method in WASHES:
        lowest = limits.lowest_wash_c.value
    dry = order.must_be_dry == Answer.YES or (not order.must_be_dry and method in DRY)
    after_test = int(limits.after_test_days.value)
    return Needs(
        people=order.people_needed or 1,
        licence=order.licence_needed or None,
        hose_m=order.pavement.site.hose_m if method in WASHES else None,
        dry=dry,
        dry_h=limits.dry_h.value,
        lowest_c=lowest,
        no_frost=method in WASHES,
        frost_c=limits.frost_c.value,
        after_test_within_days=after_test if order.after_test_due_on else None,
        wash_water=method in WASHES,
    )


def _prize(order: WorkOrder, facts: OrderFacts) -> int:
    worth = PRIZE_OF_ANY + round(PRIZE_BELOW_LEVEL * _chance(order, facts))
    return worth + PRIZE_MISSED_WINDOW * facts.missed_window


def _chance(order: WorkOrder, facts: OrderFacts) -> float:
    if order.reason == "below_level":
        return 1.0
    return CHANCE_NOT_KNOWN if facts.chance_below is None else facts.chance_below


def _minutes(
    order: WorkOrder, area: float | None, crews: Sequence[CrewPair]
) -> dict[str, int] | Breach:
    """Minutes on site by crew (N21), for those whose machine can do the method."""
    if area is None:
        return Breach(Rule.SERVICE, "The time on site is not known: no area is written.")
    if order.passes is None:
        return Breach(Rule.SERVICE, "The time on site is not known: no passes are written.")
    by_hand = {
        "edges_minutes": 60 * (order.edges_h or 0),
        "set_up_minutes": 60 * (order.set_up_h or 0),
        "dump_and_water_minutes": 60 * (order.dump_and_water_h or 0),
    }
    found: dict[str, int] = {}
    unknown = ""
    for crew, planned in crews:
        if order.method not in planned.machine.methods:
            continue
        share = order.efficiency or (crew.machine.efficiency if crew.machine else None)
        if share is None:
            unknown = f"the share of time at work is written neither here nor of “{crew.machine}”"
            continue
        machine = replace(planned.machine, efficiency=share)
        found[crew.name] = site_minutes(area, order.passes, machine, **by_hand)
    if unknown and not found:
        return Breach(Rule.SERVICE, f"The time on site is not known: {unknown}.")
    return found


def _pins(row: Round, order: WorkOrder, pin: RoundPin | None) -> tuple[date | None, str | None]:
    if pin is not None:
        return pin.on, pin.crew.name if pin.crew else None
    if order.is_pinned and order.state == "dated":
        inside = order.dated_for if order.dated_for and order.dated_for >= row.first_on else None
        return inside, order.crew.name if order.crew and inside else None
    return None, None
