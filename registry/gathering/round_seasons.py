"""Days of a round on which the calendar of seasons rules a method out; and the latest by the sand.

The calendar is that of the keeper of the order, else that of the house. What is dated in a year
(`SeasonDay`) takes the place of the day of the calendar, as it does for what is due.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from registry.gathering.due_seasons import calendar_of, dated_facts
from registry.gathering.work_limits import work_limits
from registry.models import Cleaning, Round, RuleSetting, Season, SeasonDay, WorkOrder
from registry.models.together import together
from registry.planning.earliest_day import (
    SeasonFacts,
    sweep_after_sand_by,
    why_ruled_out,
)
from registry.planning.limits import HOUSE_LIMITS, WorkLimits
from registry.planning.methods import Method
from registry.planning.rounds.hours import DaySpan
from registry.planning.season_calendar import SWEPT
from registry.planning.seasons import Fact
from registry.planning.words import NotDecided

DAY = timedelta(days=1)
_Place = tuple[int, str, date | None, WorkLimits]
"""What a calendar is read by: its keeper, the climate, the placing date and the limits."""


@dataclass(frozen=True)
class OrderSeason:
    """spans    as `Order` has them: () any day; None: no day of the round, for `why`
    latest_on   by the last sand, where it lies there still
    not_looked_at   why no calendar could be read, or ""
    limits      of its keeper, as they hold on the first day of the round
    """

    spans: tuple[DaySpan, ...] | None = ()
    why: str = ""
    latest_on: date | None = None
    not_looked_at: str = ""
    limits: WorkLimits = HOUSE_LIMITS


def seasons_of_orders(row: Round, orders: Sequence[WorkOrder]) -> dict[int, OrderSeason]:
    """Return the season of each order by its key; two queries at most."""
    keepers = {order.organisation_id for order in orders}
    seasons, days, settings = together(
        Season.objects.standing().filter(organisation__in=keepers),
        SeasonDay.objects.standing().filter(organisation__in=keepers),
        RuleSetting.objects.standing().filter(organisation__in=keepers),
    )
    limits = {order.pk: _limits(row, order, settings) for order in orders}
    facts: dict[_Place, SeasonFacts | NotDecided] = {}
    spans: dict[tuple[_Place, str], OrderSeason] = {}
    sanded = _sanded(row, orders, days, limits)
    found = {}
    for order in orders:
        climate = order.pavement.site.climate.strip().casefold()
        held = limits[order.pk]
        key = (order.organisation_id, climate, _placed(row, order, held), held)
        if key not in facts:
            facts[key] = _facts(key, seasons, days)
        asked = (key, order.method)
        if asked not in spans:
            spans[asked] = _season(row, Method(order.method), facts[key])
        one = spans[asked]
        latest = sanded.get(order.pk)
        found[order.pk] = OrderSeason(one.spans, one.why, latest, one.not_looked_at, held)
    return found


def not_looked_at(found: dict[int, OrderSeason], refs: dict[int, str]) -> list[str]:
    """Say for which orders no calendar could be read, and why."""
    named: dict[str, list[str]] = {}
    for pk, one in found.items():
        if one.not_looked_at:
            named.setdefault(one.not_looked_at, []).append(refs[pk])
    return [f"No season is looked at for {', '.join(of)}. {why}" for why, of in named.items()]


def _limits(row: Round, order: WorkOrder, settings: Iterable[RuleSetting]) -> WorkLimits:
    own = (rule for rule in settings if rule.organisation_id == order.organisation_id)
    return work_limits(own, order.pavement_id, row.first_on)


def _placed(row: Round, order: WorkOrder, limits: WorkLimits) -> date | None:
    """Return the placing date where a wait from it may be left in the round."""
    placed = order.pavement.placed_on
    wait = limits.wash_after_placing_days.value * DAY
    is_new = placed is not None and placed + wait > row.first_on
    return placed if is_new else None


def _facts(
    key: _Place, seasons: Iterable[Season], days: Iterable[SeasonDay]
) -> SeasonFacts | NotDecided:
    keeper, climate, placed_on, limits = key
    calendar = calendar_of([s for s in seasons if s.organisation_id == keeper], climate)
    if isinstance(calendar, NotDecided):
        return calendar
    own = (day for day in days if day.organisation_id == keeper)
    return SeasonFacts(calendar, dated_facts(own, climate), placed_on, limits)


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


def _sanded(
    row: Round,
    orders: Sequence[WorkOrder],
    days: Sequence[SeasonDay],
    limits: Mapping[int, WorkLimits],
) -> dict[int, date]:
    """Return by order when the sand of the winter is to be off, where it was not swept since."""
    found: dict[int, tuple[date, date]] = {}
    for order in orders:
        if order.pavement.winter_sand != "yes" or order.method not in SWEPT:
            continue
        climate = order.pavement.site.climate.strip().casefold()
        own = (day for day in days if day.organisation_id == order.organisation_id)
        facts = dated_facts(own, climate)
        by = sweep_after_sand_by(facts, row.first_on, limits[order.pk].after_sand_days)
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
