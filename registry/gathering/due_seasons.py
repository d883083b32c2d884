"""The calendar of seasons that holds at a pavement, and the first and last sensible day by it.

Its manager's calendar comes first, then its owner's, then that of the house for a cold, wet, leafy
climate. Many pavements share a calendar, so each answer is worked out once.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from registry.gathering.due_rows import DueRows, HouseRows
from registry.gathering.work_limits import limits_of_keepers
from registry.models import Season as SeasonRow
from registry.models import SeasonDay
from registry.planning.earliest_day import (
    Earliest,
    SeasonFacts,
    earliest_sensible_day,
    last_sensible_day,
    sweep_after_sand_by,
)
from registry.planning.faults import PlanningError
from registry.planning.limits import WorkLimits
from registry.planning.methods import Method
from registry.planning.missed_window import is_last_before_frost
from registry.planning.season_calendar import COLD_WET_LEAFY
from registry.planning.seasons import DatedFact, Fact, Season, YearDay
from registry.planning.words import NotDecided

HOUSE_CLIMATE = "cold, wet, leafy"
LONG_AGO = date(1900, 1, 1)
"""In place of a placing date so far back that no wait from placing is left."""


@dataclass(frozen=True)
class SensibleDays:
    """The first sensible day of a method, and the last of the season it lies in."""

    earliest: Earliest
    last_on: date | None


@dataclass
class Seasons:
    """Calendars of many pavements, each read once, with what was answered by them."""

    house: HouseRows
    _known: dict[tuple[object, ...], SeasonFacts | NotDecided] = field(default_factory=dict)
    _days: dict[tuple[object, ...], SensibleDays] = field(default_factory=dict)

    def sensible_days(self, rows: DueRows, method: Method) -> SensibleDays | NotDecided:
        """Return when a method makes sense at a pavement from today on."""
        facts, key = self._facts(rows)
        if isinstance(facts, NotDecided):
            return facts
        asked = (*key, method, rows.today)
        if asked not in self._days:
            earliest = earliest_sensible_day(method, rows.today, facts)
            on = earliest.on
            last = last_sensible_day(method, on, facts) if on is not None else None
            self._days[asked] = SensibleDays(earliest, last)
        return self._days[asked]

    def has_missed_window(self, rows: DueRows) -> bool:
        """Say whether the last visit came to nothing in its last window before frost.

        A calendar that cannot be read tells of no window, and so of none missed.
        """
        last = rows.cleanings[-1] if rows.cleanings else None
        if last is None or last.is_cleaning:
            return False
        facts, _ = self._facts(rows)
        if isinstance(facts, NotDecided):
            return False
        return is_last_before_frost(Method(last.method), last.done_on, facts)

    def sand_by(self, rows: DueRows) -> date | None:
        """Return the latest day after the last sand, where it is sanded and was not swept since.

        A pavement of which nobody says that it is sanded gets no day from the sand.
        """
        if rows.pavement.winter_sand != "yes":
            return None
        days = self._dated(rows)
        by = sweep_after_sand_by(days, rows.today, self.limits(rows).after_sand_days)
        if by is None:
            return None
        last = max(d.on for d in days if d.fact is Fact.LAST_SAND and d.on <= rows.today)
        swept = any(c.is_cleaning and c.method_class and c.done_on > last for c in rows.cleanings)
        return None if swept else by

    def limits(self, rows: DueRows) -> WorkLimits:
        """Return the limits that hold at a pavement today."""
        by_keeper = [self.house.limits.get(keeper, ()) for keeper in rows.keepers]
        return limits_of_keepers(by_keeper, rows.pavement.pk, rows.today)

    def _facts(self, rows: DueRows) -> tuple[SeasonFacts | NotDecided, tuple[object, ...]]:
        climate = rows.pavement.site.climate.strip().casefold()
        limits = self.limits(rows)
        placed = _placed(rows, limits)
        key = (rows.keepers, climate, placed, limits)
        if key not in self._known:
            calendar = self._calendar(rows.keepers, climate)
            self._known[key] = (
                calendar
                if isinstance(calendar, NotDecided)
                else SeasonFacts(calendar, self._dated(rows), placed, limits)
            )
        return self._known[key], key

    def _calendar(self, keepers: Iterable[int], climate: str) -> tuple[Season, ...] | NotDecided:
        rows = next((self.house.seasons[k] for k in keepers if self.house.seasons.get(k)), [])
        return calendar_of(rows, climate)

    def _dated(self, rows: DueRows) -> tuple[DatedFact, ...]:
        climate = rows.pavement.site.climate.strip().casefold()
        found = (day for keeper in rows.keepers for day in self.house.days.get(keeper, ()))
        return dated_facts(found, climate)


def calendar_of(rows: Sequence[SeasonRow], climate: str) -> tuple[Season, ...] | NotDecided:
    """Return the seasons of one keeper for a climate in small letters, "" where a site names none.

    Without a row the house's own stands, for its climate.
    """
    if not rows:
        if climate in ("", HOUSE_CLIMATE):
            return COLD_WET_LEAFY
        return _no_calendar(climate)
    climates = {row.climate.strip().casefold() for row in rows}
    if not climate and len(climates) > 1:
        why = "The calendar of seasons has several climates, and the site names none."
        return NotDecided(why, ("climate of the site",))
    mine = [row for row in rows if climate in ("", row.climate.strip().casefold())]
    if not mine:
        return _no_calendar(climate)
    try:
        return tuple(season_of(row) for row in mine)
    except PlanningError as fault:
        return NotDecided(f"The calendar of seasons cannot be read: {fault.message}")


def dated_facts(days: Iterable[SeasonDay], climate: str) -> tuple[DatedFact, ...]:
    """Return what is dated for a climate, oldest first."""
    return tuple(sorted({_fact(d) for d in days if _is_of(d, climate)}, key=_by_day))


def season_of(row: SeasonRow) -> Season:
    """Return a row of the calendar as the rules read it. Raises PlanningError."""
    return Season(
        name=row.name,
        begins=YearDay(row.from_month, row.from_day),
        ends=YearDay(row.to_month, row.to_day),
        methods=frozenset(Method(code) for code in row.methods),
        methods_not=frozenset(Method(code) for code in row.methods_not),
        to_do=row.to_do,
        not_to_do=row.not_to_do,
        reason=row.reason,
        begins_after=_facts(row.begins_after),
        begins_at=_facts(row.begins_at),
        ends_at=_facts(row.ends_at),
    )


def _facts(codes: Iterable[str]) -> frozenset[Fact]:
    return frozenset(Fact[code.upper()] for code in codes)


def _fact(row: SeasonDay) -> DatedFact:
    return DatedFact(Fact[row.fact.upper()], row.on)


def _by_day(found: DatedFact) -> tuple[date, str]:
    return found.on, found.fact.value


def _is_of(row: SeasonDay, climate: str) -> bool:
    return not row.climate or not climate or row.climate.strip().casefold() == climate


def _placed(rows: DueRows, limits: WorkLimits) -> date | None:
    """Return the placing date while a wait from it may still be left, else one for all."""
    placed = rows.pavement.placed_on
    wait = timedelta(days=limits.wash_after_placing_days.value)
    if placed is None or placed + wait > rows.today:
        return placed
    return LONG_AGO


def _no_calendar(climate: str) -> NotDecided:
    why = f"No season of the calendar is for the climate of the site, “{climate}”."
    return NotDecided(why, ("calendar of seasons",))
