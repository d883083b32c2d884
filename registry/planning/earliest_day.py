"""The first day on which a method makes sense at a pavement, and the last one of that season.

How long from placing to a wash, and from the last sand to the sweep, say the limits of the place.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from registry.planning.limits import HOUSE_LIMITS, Limit, WorkLimits, by_whom
from registry.planning.methods import WASHES, Method
from registry.planning.season_calendar import COLD_WET_LEAFY
from registry.planning.seasons import DAY, DatedFact, Fact, Season

SEARCHED_DAYS = 2 * 366


@dataclass(frozen=True)
class Earliest:
    """The first sensible day of a method.

    on            in season, or the first day not ruled out where no season is for the method;
                  None: none within two years
    possible_on   the first day that nothing rules out; a person may choose it
    reason        what made `on`, in words
    not_checked   what could not be looked at, and why
    """

    on: date | None
    possible_on: date | None
    reason: str
    not_checked: tuple[str, ...] = ()


@dataclass(frozen=True)
class SeasonFacts:
    """The calendar of a place, what is dated, when the surface was placed (None: not known)."""

    calendar: tuple[Season, ...] = COLD_WET_LEAFY
    dated: tuple[DatedFact, ...] = ()
    placed_on: date | None = None
    limits: WorkLimits = HOUSE_LIMITS
    _spans: dict[int, tuple[tuple[Season, date, date], ...]] = field(
        default_factory=dict, compare=False, repr=False
    )

    def seasons_on(self, day: date) -> list[Season]:
        if day.year not in self._spans:
            years = range(day.year - 1, day.year + 2)
            self._spans[day.year] = tuple(
                (s, *s.days_from(year, self.dated)) for s in self.calendar for year in years
            )
        return [s for s, first, last in self._spans[day.year] if first <= day <= last]


def why_ruled_out(method: Method, day: date, facts: SeasonFacts) -> str:
    """Return why a method makes no sense on a day, "" if nothing rules it out."""
    placed = facts.placed_on
    if placed and day < placed:
        return f"it is placed on {placed}"
    wait = facts.limits.wash_after_placing_days
    if placed and method in WASHES and day < placed + wait.value * DAY:
        return f"no wash within {wait.value:g} days of placing, {placed}{by_whom(wait)}"
    against = [s for s in facts.seasons_on(day) if method in s.methods_not]
    return f"{against[0].name}: {against[0].reason or against[0].not_to_do}" if against else ""


def season_for(method: Method, day: date, facts: SeasonFacts) -> Season | None:
    """Return a season of the day that is for the method, where nothing rules it out."""
    if why_ruled_out(method, day, facts):
        return None
    return next((s for s in facts.seasons_on(day) if method in s.methods), None)


def earliest_sensible_day(method: Method, after: date, facts: SeasonFacts) -> Earliest:
    """Return the first sensible day from `after` on, that day included."""
    days = [after + n * DAY for n in range(SEARCHED_DAYS)]
    possible = next((day for day in days if not why_ruled_out(method, day, facts)), None)
    open_ = _not_checked(method, facts)
    named = any(method in season.methods for season in facts.calendar)
    on = next((d for d in days if season_for(method, d, facts)), None) if named else possible
    if on is None:
        return Earliest(None, possible, f"no season for it within two years of {after}", open_)
    season = season_for(method, on, facts)
    words = _words(season, on, facts) if season else "no season of the calendar is for it"
    held = why_ruled_out(method, after, facts)
    if on > after and held:
        words = f"{words}; before, {held}"
    return Earliest(on, possible, words, open_)


def last_sensible_day(method: Method, day: date, facts: SeasonFacts) -> date | None:
    """Return the last day of the run of sensible days that holds `day`; None where none does.

    What is missed after it waits for the next season: such a stop goes ahead of its rank.
    """
    last = None
    for later in (day + n * DAY for n in range(SEARCHED_DAYS)):
        if not season_for(method, later, facts):
            return last
        last = later
    return None


def sweep_after_sand_by(
    facts: Iterable[DatedFact], as_of: date, within: Limit = HOUSE_LIMITS.after_sand_days
) -> date | None:
    """Return the latest day after the last sand of the half year before `as_of`; None: not dated.

    Whether the pavement was swept since is for the caller to know.
    """
    sand = [d.on for d in facts if d.fact is Fact.LAST_SAND and 0 <= (as_of - d.on).days <= 182]
    return max(sand) + within.value * DAY if sand else None


def _not_checked(method: Method, facts: SeasonFacts) -> tuple[str, ...]:
    if method in WASHES and facts.placed_on is None:
        days = facts.limits.wash_after_placing_days.value
        return (f"the placing date is not known: {days:g} days from placing are not checked",)
    return ()


def _words(season: Season, on: date, facts: SeasonFacts) -> str:
    """Say which season, and by which dated fact it began where one moved it."""
    told = [
        d for d in facts.dated
        if (d.fact in season.begins_after and d.on + DAY == on)
        or (d.fact in season.begins_at and d.on == on)
    ]  # fmt: skip
    moved = f" ({told[0].fact.value} {told[0].on})" if told else ""
    return f"{season.name}{moved}: {season.reason}" if season.reason else f"{season.name}{moved}"
