"""The last window before frost, in the calendar of the house: washes from June to September."""

from datetime import date

import pytest

from registry.planning.earliest_day import SeasonFacts
from registry.planning.methods import Method
from registry.planning.missed_window import is_last_before_frost, next_frost
from registry.planning.season_calendar import COLD_WET_LEAFY
from registry.planning.seasons import DatedFact, Fact

HOUSE = SeasonFacts(placed_on=date(2020, 1, 1))
LEAVES_DOWN = SeasonFacts(
    placed_on=date(2020, 1, 1), dated=(DatedFact(Fact.LEAF_DOWN, date(2026, 11, 14)),)
)


@pytest.mark.parametrize(
    ("method", "visit_on", "facts", "expected"),
    [
        (Method.WASH_AND_VACUUM, date(2026, 9, 20), HOUSE, True),  # none comes before June
        (Method.VACUUM, date(2026, 4, 10), HOUSE, False),  # spring: summer, last leaf still come
        (Method.VACUUM, date(2026, 11, 20), LEAVES_DOWN, True),
        (Method.WASH_AND_VACUUM, date(2026, 10, 20), HOUSE, False),  # it was in no window
        (Method.VACUUM, date(2026, 12, 20), HOUSE, False),
    ],
)
def test_a_window_is_the_last_one_where_no_other_comes_before_frost(
    method, visit_on, facts, expected
):
    assert is_last_before_frost(method, visit_on, facts) is expected


def test_the_frost_of_the_year_moves_with_its_date():
    assert next_frost(date(2026, 9, 1), HOUSE) == date(2026, 12, 1)
    early = SeasonFacts(dated=(DatedFact(Fact.FIRST_FROST, date(2026, 10, 3)),))
    assert next_frost(date(2026, 9, 1), early) == date(2026, 10, 3)


def test_a_climate_without_frost_misses_no_window_before_it():
    mild = SeasonFacts(tuple(s for s in COLD_WET_LEAFY if s.name not in ("frost", "winter")))
    assert next_frost(date(2026, 9, 1), mild) is None
    assert not is_last_before_frost(Method.WASH_AND_VACUUM, date(2026, 9, 20), mild)
