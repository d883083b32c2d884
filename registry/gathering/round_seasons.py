"""Days of a round on which the calendar of seasons rules a method out; and the latest by the sand.

The calendar is that of the keeper of the order, else that of the house. What is dated in a year
(`SeasonDay`) takes the place of the day of the calendar, as it does for what is due.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from registry.gathering.due_seasons import calendar_of, dated_facts
from registry.models import Cleaning, Round, Season, SeasonDay, WorkOrder
from registry.models.together import together
from registry.planning.earliest_day import (
    WASH_AFTER_PLACING_DAYS,
    SeasonFacts,
    sweep_after_sand_by,
    why_ruled_out,
)
from registry.planning.methods import Method
from registry.planning.rounds.hours import DaySpan
from registry.planning.season_calendar import SWEPT
from registry.planning.seasons import Fact
from registry.planning.words import NotDecided

DAY = timedelta(days=1)


@dataclass(frozen=True)
class OrderSeason:
    """spans    as `Order` has them: () any day; None: no day of the round, for `why`
    latest_on   3 weeks after the last sand, where it lies there still
    not_looked_at   why no calendar could be read, or ""
    """

    spans: tuple[DaySpan, ...] | None = ()
    why: str = ""
    latest_on: date | None = None
    not_looked_at: str = ""


def seasons_of_orders(row: Round, orders: Sequence[WorkOrder]) -> dict[int, OrderSeason]:
    """Return the season of each order by its key; two queries at most."""
    keepers = {order.organisation_id for order in orders}
    seasons, days = together(
        Season.objects.standing().filter(organisation__in=keepers),
        SeasonDay.objects.standing().filter(organisation__in=keepers),
    )
    facts: dict[tuple[int, str, date | None], SeasonFacts | NotDecided] = {}
    spans: dict[tuple[int, str, date | None, str], OrderSeason] = {}
    sanded = _sanded(row, orders, days)
    found = {}
    for order in orders:
        climate = order.pavement.site.climate.strip().casefold()
        key = (order.organisation_id, climate, _placed(row, order))
        if key not in facts:
            facts[key] = _facts(key, seasons, days)
        asked = (*key, order.method)
        if asked not in spans:
            spans[asked] = _season(row, Method(order.method), facts[key])
        one = spans[asked]
        latest = sanded.get(order.pk)
        found[order.pk] = OrderSeason(one.spans, one.why, latest, one.not_looked_at)
    return found


def not_looked_at(found: dict[int, OrderSeason], refs: dict[int, str]) -> list[str]:
    """Say for which orders no calendar could be read, and why."""
    named: dict[str, list[str]] = {}
    for pk, one in found.items():
        if one.not_looked_at:
            named.setdefault(one.not_looked_at, []).append(refs[pk])
    return [f"No season is looked at for {', '.join(of)}. {why}" for why, of in named.items()]


def _placed(row: Round, order: WorkOrder) -> date | None:
    """Return the placing date where a wait from it may be left in the round."""
    placed = order.pavement.placed_on
    is_new = placed is not None and placed + WASH_AFTER_PLACING_DAYS * DAY > row.first_on
    return placed if is_new else None


def _facts(
    key: tuple[int, str, date | None], seasons: Iterable[Season], days: Iterable[SeasonDay]
) -> SeasonFacts | NotDecided:
    keeper, climate, placed_on = key
    calendar = calendar_of([s for s in seasons if s.organisation_id == keeper], climate)
    if isinstance(calendar, NotDecided):
        return calendar
    own = (day for day in days if day.organisation_id == keeper)
    return SeasonFacts(calendar, dated_facts(own, climate), placed_on)


def _season(row: Round, method: Method, facts: SeasonFacts | NotDecided) -> OrderSeason:
    if isinstance(facts, NotDecided):
        return OrderSeason(not_looked_at=facts.reason)
    days = [row.first_on + n * DAY for n in range(row.days)]
    against = {day: why_ruled_out(method, day, facts) for day in days}
    open_days = [day for day in days if not against[day]]
    if len(open_days) == len(days):
        return OrderSeason()
    if not open_days:
        return OrderSeason(None, against[days[-1]])
    spans: list[list[date]] = []
    for day in open_days:
        if spans and day == spans[-1][1] + DAY:
            spans[-1][1] = day
        else:
            spans.append([day, day])
    return OrderSeason(tuple(DaySpan(first, last) for first, last in spans))


def _sanded(row: Round, orders: Sequence[WorkOrder], days: Sequence[SeasonDay]) -> dict[int, date]:
    """Return by order when the sand of the winter is to be off, where it was not swept since."""
    found: dict[int, tuple[date, date]] = {}
    for order in orders:
        if order.pavement.winter_sand != "yes" or order.method not in SWEPT:
            continue
        climate = order.pavement.site.climate.strip().casefold()
        own = (day for day in days if day.organisation_id == order.organisation_id)
        facts = dated_facts(own, climate)
        by = sweep_after_sand_by(facts, row.first_on)
        if by is not None:
            last = [d.on for d in facts if d.fact is Fact.LAST_SAND and d.on <= row.first_on]
            found[order.pk] = (max(last), by)
    there = [order for order in orders if order.pk in found]
    swept = _last_swept(there)
    return {
        order.pk: found[order.pk][1]
        for order in there
        if swept.get(order.pavement_id, date.min) <= found[order.pk][0]
    }


def _last_swept(orders: Sequence[WorkOrder]) -> dict[int, date]:
    if not orders:
        return {}
    rows = Cleaning.objects.done().filter(pavement__in=[order.pavement_id for order in orders])
    last: dict[int, date] = {}
    for cleaning in rows.order_by("done_on"):
        if cleaning.method_class:
            last[cleaning.pavement_id] = cleaning.done_on
    return last
