"""Whether a visit that did not come about was the last chance before frost (5.8, N26).

The window is the run of sensible days that held the day of the visit. It was the last one where no
sensible day comes between its end and the next frost. Common practice, no source.
"""

from datetime import date

from registry.planning.earliest_day import SeasonFacts, last_sensible_day, season_for
from registry.planning.methods import Method
from registry.planning.seasons import DAY, Fact

SEARCHED_DAYS = 366


def is_last_before_frost(method: Method, visit_on: date, facts: SeasonFacts) -> bool:
    """Say whether a visit stood in the last window of a method before the next frost.

    False where the day was in no window, and where the calendar knows no frost.
    """
    last = last_sensible_day(method, visit_on, facts)
    frost = next_frost(visit_on, facts)
    if last is None or frost is None:
        return False
    between = (last + n * DAY for n in range(1, (frost - last).days))
    return not any(season_for(method, day, facts) for day in between)


def next_frost(after: date, facts: SeasonFacts) -> date | None:
    """Return the first day from `after` on in a season that begins with the first frost.

    None where no such season comes within a year.
    """
    days = (after + n * DAY for n in range(SEARCHED_DAYS))
    return next((day for day in days if _is_frost(day, facts)), None)


def _is_frost(day: date, facts: SeasonFacts) -> bool:
    return any(Fact.FIRST_FROST in season.begins_at for season in facts.seasons_on(day))
