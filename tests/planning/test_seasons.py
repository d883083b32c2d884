"""A season of its own: over the new year, 29 February, and what cannot be."""

from datetime import date

import pytest

from registry.planning.faults import PlanningError
from registry.planning.methods import Method
from registry.planning.season_calendar import COLD_WET_LEAFY, shifted
from registry.planning.seasons import Season, YearDay


def test_a_season_over_the_new_year_holds_on_both_sides():
    season = Season("frost", YearDay(12, 1), YearDay(2, 29))
    held = [date(2026, 12, 1), date(2027, 1, 1), date(2027, 2, 28), date(2028, 2, 29)]
    assert all(season.holds_on(day, ()) for day in held)
    assert not any(season.holds_on(day, ()) for day in (date(2026, 11, 30), date(2027, 3, 1)))


def test_the_last_of_february_follows_the_year():
    assert YearDay(2, 29).in_year(2027) == date(2027, 2, 28)
    assert YearDay(2, 29).in_year(2028) == date(2028, 2, 29)


@pytest.mark.parametrize("day", [(2, 30), (13, 1), (0, 1), (4, 31)])
def test_no_day_of_the_year(day):
    with pytest.raises(PlanningError):
        YearDay(*day)


def test_a_method_is_not_both_for_a_season_and_not():
    both = frozenset({Method.VACUUM})
    with pytest.raises(PlanningError, match="both"):
        Season("any", YearDay(1, 1), YearDay(2, 1), methods=both, methods_not=both)


def test_a_whole_year_later_is_the_same_calendar():
    # But for the last of February, which moves as the 28th.
    moved = shifted(COLD_WET_LEAFY, 365)
    assert [s.begins for s in moved] == [s.begins for s in COLD_WET_LEAFY]
