"""The season of an organisation in figures: risk with and without the plan, crew-days, cost."""

from calendar import monthrange
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

import numpy as np
from django.utils import timezone

from registry.gathering.order_rows import area_at_hand_m2, rest_of_orders
from registry.gathering.season_chances import PavementChances, PlannedSweep, season_chances
from registry.gathering.season_round import (
    minutes_of_order,
    ref_of,
    round_of_orders,
)
from registry.models import Organisation, Panel, Pavement, Price, WorkOrder
from registry.models.rights import KEEPERS
from registry.models.together import together
from registry.planning.rounds.season_risk import Chances, Month, season_risk


@dataclass(frozen=True)
class SeasonMonth:
    """One month: the risk of all pavements on its last day, and the orders dated in it.

    area_m2   of those whose area is known;  unpriced  how many have no price; cost  of the others
    """

    risk: Month
    orders: int
    area_m2: float
    unpriced: int
    cost: Decimal


@dataclass(frozen=True)
class SeasonPlan:
    """The season.

    pavements, decided  kept by the organisation; those for which a chance is given
    dated, not_dated    open orders within the season; open orders without a day
    no_time             open orders whose time on site is not known
    currency            of the price list; "" where none is known
    why_no_more         where no month tells what one more crew-day spares: a key of
                        `season_words.NO_MORE`; "" where some open order was looked at
    """

    months: tuple[SeasonMonth, ...]
    pavements: int
    decided: int
    dated: int
    not_dated: int
    no_time: int
    currency: str
    why_no_more: str

    @property
    def spared(self) -> float:
        """Pavement-months below the action level that the plan spares."""
        return sum(m.risk.without_plan - m.risk.with_plan for m in self.months)


def gather_season_plan(organisation: Organisation, *, today: date, months: int) -> SeasonPlan:
    """Return the season of so many months, that of today first.

    What one more crew-day buys is told of open orders without a day at pavements without a dated
    one, taken as cleaned today and counted from that month on. Of an order done in part, the
    panels that are left are what is planned: their area, time on site, price by the list and gain.
    """
    ends = _month_ends(today, months)
    kept = _kept_pavements(organisation)
    orders = [order for order in _open_orders(organisation) if order.pavement_id in kept]
    dated = [o for o in orders if o.state == "dated" and _falls(o.dated_for, today, ends[-1])]
    undated = [o for o in orders if o.state != "dated"]
    machines, listed = together(
        organisation.machines.standing(), organisation.prices.standing().on(today)
    )
    rests = rest_of_orders(orders)
    timed = ((o.pk, minutes_of_order(o, machines, rests.get(o.pk, ()))) for o in orders)
    minutes = {pk: m for pk, m in timed if m is not None}
    spare = _one_a_pavement(undated, minutes, {o.pavement_id for o in dated})
    sweeps = [_sweep(order, today, rests.get(order.pk, ())) for order in (*dated, *spare)]
    chances = season_chances(kept, sweeps, ends, today=today)
    problem, plan = round_of_orders(dated, spare, minutes, first_on=today, last_on=ends[-1])
    table = _table({o.pavement_id: o for o in reversed([*dated, *spare])}, chances, ends)
    free = {day.crew: 0.0 for day in plan.days}  # money is of orders here, not of crew-days
    risk = season_risk(problem, plan, table, free)
    ordered = {order.pavement_id for order in (*dated, *spare)}
    rest = sum(
        (c.not_cleaned for pk, c in chances.items() if pk not in ordered), np.zeros(len(ends))
    )
    prices = _prices(listed)
    return SeasonPlan(
        tuple(_month(m, float(rest[n]), dated, prices, rests) for n, m in enumerate(risk.months)),
        pavements=len(kept),
        decided=len(chances),
        dated=len(dated),
        not_dated=len(undated),
        no_time=sum(order.pk not in minutes for order in orders),
        currency=next((price.currency for price in prices.values()), ""),
        why_no_more=_why_no_more(dated, undated, minutes, chances),
    )


def _why_no_more(
    dated: Sequence[WorkOrder],
    undated: Sequence[WorkOrder],
    minutes: Mapping[int, int],
    decided: Container[int],
) -> str:
    """Return why nothing can be told of one more crew-day, or "" where it can.

    Without the time on site of any order left, or of any dated one by which the length of a
    crew-day is told, it is not decided: it is not that such a day would spare nothing.
    """
    taken = {order.pavement_id for order in dated}
    left = [order for order in undated if order.pavement_id not in taken]
    timed = [order for order in left if order.pk in minutes]
    if not left:
        return "all_dated" if undated else "none_left"
    if not timed:
        return "no_time"
    if not any(order.pavement_id in decided for order in timed):
        return "no_chance"
    return "" if any(order.pk in minutes for order in dated) else "no_day"


def _month_ends(today: date, months: int) -> list[date]:
    """Return the last days of so many months from that of today on."""
    found = []
    for nth in range(today.month - 1, today.month - 1 + months):
        year, month = today.year + nth // 12, nth % 12 + 1
        found.append(date(year, month, monthrange(year, month)[1]))
    return found


def _falls(day: date | None, first: date, last: date) -> bool:
    return day is not None and first <= day <= last


def _kept_pavements(organisation: Organisation) -> set[int]:
    """Return the pavements of which the organisation is owner or manager now."""
    seats = organisation.seats.held_at(timezone.now()).filter(role__in=KEEPERS)
    rows = Pavement.objects.counted_once().filter(void_at=None, pk__in=seats.values("pavement"))
    return set(rows.values_list("pk", flat=True))


def _open_orders(organisation: Organisation) -> list[WorkOrder]:
    rows = WorkOrder.objects.open().filter(organisation=organisation)
    rows = rows.select_related("pavement", "crew__machine", "sweeper")
    return list(rows.prefetch_related("panels__panel").order_by("dated_for", "latest_on", "pk"))


def _one_a_pavement(
    undated: Iterable[WorkOrder], minutes: Mapping[int, int], taken: set[int]
) -> list[WorkOrder]:
    """Return the first order without a day of each pavement that has none with one."""
    found: dict[int, WorkOrder] = {}
    for order in undated:
        if order.pk in minutes and order.pavement_id not in taken:
            found.setdefault(order.pavement_id, order)
    return list(found.values())


def _sweep(order: WorkOrder, today: date, rest: Sequence[Panel]) -> PlannedSweep:
    asked = [] if order.covers_all else [part.panel_id for part in order.panels.all()]
    panels = frozenset([panel.pk for panel in rest] or asked)
    on = order.dated_for if order.state == "dated" and order.dated_for else today
    return PlannedSweep(order.pavement_id, on, order.method_class, panels or None)


def _table(
    orders: Mapping[int, WorkOrder], chances: Mapping[int, PavementChances], ends: Sequence[date]
) -> Chances:
    """One row a pavement with an order, so that two orders of one do not count it twice."""
    rows = [(order, chances[pk]) for pk, order in orders.items() if pk in chances]
    shape = (len(rows), len(ends))
    return Chances(
        orders=tuple(ref_of(order) for order, _ in rows),
        months=tuple(end.replace(day=1) for end in ends),
        not_cleaned=np.array([c.not_cleaned for _, c in rows], float).reshape(shape),
        cleaned=np.array([c.cleaned for _, c in rows], float).reshape(shape),
    )


def _prices(listed: Iterable[Price]) -> dict[str, Price]:
    """Return the newest price by class of method; several currencies cannot be summed: none."""
    rows = sorted(listed, key=lambda price: (price.from_on or date.min, price.pk))
    found = {price.method_class: price for price in rows}
    return found if len({price.currency for price in found.values()}) == 1 else {}


def _month(
    risk: Month,
    rest: float,
    dated: Iterable[WorkOrder],
    prices: Mapping[str, Price],
    rests: Mapping[int, Sequence[Panel]],
) -> SeasonMonth:
    within = [
        o
        for o in dated
        if o.dated_for and (o.dated_for.year, o.dated_for.month)
        == (risk.first_on.year, risk.first_on.month)
    ]  # fmt: skip
    areas = [area_at_hand_m2(order, rests.get(order.pk, ())) for order in within]
    costs = [_cost(order, prices, area) for order, area in zip(within, areas, strict=True)]
    return SeasonMonth(
        risk=Month(
            first_on=risk.first_on,
            without_plan=risk.without_plan + rest,
            with_plan=risk.with_plan + rest,
            crew_days=risk.crew_days,
            cost=risk.cost,
            one_more_avoids=risk.one_more_avoids,
        ),
        orders=len(within),
        area_m2=sum(area or 0.0 for area in areas),
        unpriced=sum(cost is None for cost in costs),
        cost=sum((cost for cost in costs if cost is not None), Decimal(0)),
    )


def _cost(order: WorkOrder, prices: Mapping[str, Price], area: float | None) -> Decimal | None:
    """Return the price agreed of an order, else by the price list; None where neither tells.

    A price agreed by the hour or on the area is the sum that was agreed for the order, whole
    although a part was done: nobody wrote that the rest has a price of its own.
    """
    if order.price_agreed is not None:
        return order.price_agreed
    price = prices.get(order.method_class)
    if price is None or area is None:
        return None
    return max(price.at_least, price.per_m2 * Decimal(repr(area))).quantize(Decimal("0.01"))
