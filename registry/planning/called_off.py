"""What a day called off means: the next window of the site, and which before-tests go stale."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from registry.planning.earliest_day import SeasonFacts, last_sensible_day, why_ruled_out
from registry.planning.methods import Method

BEFORE_TEST_DAYS = 14
SEARCHED_DAYS = 366


@dataclass(frozen=True)
class CalledOff:
    """next_on   the next day of the window on which the method is not ruled out; None: none

    stale_tests    names of the before-tests that are then more than 14 days old
    misses_season  the next day lies beyond the season in which the called-off day lay: the stop
                   goes ahead of its rank
    """

    next_on: date | None
    stale_tests: tuple[str, ...]
    misses_season: bool


def after_call_off(
    called_off_on: date,
    method: Method,
    facts: SeasonFacts,
    *,
    weekdays: frozenset[int] = frozenset(range(7)),
    closed_on: Iterable[date] = (),
    before_tests: Mapping[str, date] | None = None,
) -> CalledOff:
    """Return what follows from a day called off.

    weekdays      0 (Monday) to 6, on which the site may be worked at;  closed_on  days without
    before_tests  the day of each, by name
    """
    closed = frozenset(closed_on)
    days = (called_off_on + timedelta(days=n + 1) for n in range(SEARCHED_DAYS))
    open_days = (d for d in days if d.weekday() in weekdays and d not in closed)
    next_on = next((d for d in open_days if not why_ruled_out(method, d, facts)), None)
    season_ends = last_sensible_day(method, called_off_on, facts)
    tests = (before_tests or {}).items()
    stale = [
        name for name, on in tests if next_on is None or (next_on - on).days > BEFORE_TEST_DAYS
    ]
    misses = season_ends is not None and (next_on is None or next_on > season_ends)
    return CalledOff(next_on, tuple(sorted(stale)), misses)
