"""The default calendar by the table of seasons, dated facts over it, and the first sensible day."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.planning.earliest_day import (
    SeasonFacts,
    earliest_sensible_day,
    last_sensible_day,
    sweep_after_sand_by,
    why_ruled_out,
)
from registry.planning.methods import Method
from registry.planning.season_calendar import COLD_WET_LEAFY, shifted
from registry.planning.seasons import DatedFact, Fact

DEFAULT = SeasonFacts(placed_on=date(2020, 1, 1))
DAYS = st.dates(date(2022, 1, 1), date(2028, 12, 31))


def first(method: Method, after: str, facts: SeasonFacts = DEFAULT) -> str:
    return str(earliest_sensible_day(method, date.fromisoformat(after), facts).on)


@pytest.mark.parametrize(
    ("method", "after", "on"),
    [
        (Method.VACUUM, "2026-01-10", "2026-03-01"),
        (Method.VACUUM, "2026-07-01", "2026-07-01"),
        (Method.VACUUM, "2026-10-05", "2026-11-01"),
        (Method.WASH_AND_VACUUM, "2026-03-15", "2026-06-01"),
        (Method.WASH_AND_VACUUM, "2026-10-01", "2027-06-01"),
        (Method.BROOM, "2026-10-05", "2026-10-05"),
        (Method.MOSS_BRUSHED, "2026-10-05", "2027-06-01"),
    ],
)
def test_the_default_calendar(method, after, on):
    assert first(method, after) == on


def test_the_last_sand_and_frost_decide_where_they_are_dated():
    facts = SeasonFacts(
        dated=(
            DatedFact(Fact.LAST_SAND, date(2026, 3, 20)),
            DatedFact(Fact.LAST_FROST, date(2026, 4, 7)),
        )
    )
    found = earliest_sensible_day(Method.VACUUM, date(2026, 2, 1), facts)
    assert found.on == date(2026, 4, 8)
    assert "last frost 2026-04-07" in found.reason
    # Another year is as the calendar has it.
    assert first(Method.VACUUM, "2027-02-01", facts) == "2027-03-01"


def test_leaves_down_early_open_the_second_sweep_early():
    facts = SeasonFacts(dated=(DatedFact(Fact.LEAF_DOWN, date(2026, 10, 24)),))
    assert first(Method.VACUUM, "2026-10-05", facts) == "2026-10-25"


def test_an_early_first_frost_rules_the_wash_out():
    facts = SeasonFacts(
        placed_on=date(2020, 1, 1), dated=(DatedFact(Fact.FIRST_FROST, date(2026, 9, 20)),)
    )
    assert first(Method.WASH_AND_VACUUM, "2026-09-25", facts) == "2027-06-01"
    assert last_sensible_day(Method.WASH_AND_VACUUM, date(2026, 9, 1), facts) == date(2026, 9, 19)


def test_a_first_frost_after_new_year_belongs_to_the_winter_before():
    facts = SeasonFacts(
        placed_on=date(2020, 1, 1), dated=(DatedFact(Fact.FIRST_FROST, date(2027, 1, 4)),)
    )
    assert why_ruled_out(Method.WASH_AND_VACUUM, date(2026, 12, 20), facts) == ""
    # January and February stay ruled out by the winter itself.
    assert why_ruled_out(Method.WASH_AND_VACUUM, date(2027, 1, 3), facts)


def test_no_wash_within_28_days_of_placing():
    facts = SeasonFacts(placed_on=date(2026, 6, 10))
    found = earliest_sensible_day(Method.WASH_AND_VACUUM, date(2026, 6, 12), facts)
    assert found.on == date(2026, 7, 8)
    assert "28 days of placing" in found.reason
    assert first(Method.VACUUM, "2026-06-12", facts) == "2026-06-12"


def test_an_unknown_placing_date_is_said():
    found = earliest_sensible_day(Method.WASH_AND_VACUUM, date(2026, 6, 12), SeasonFacts())
    assert found.not_checked
    assert not earliest_sensible_day(Method.VACUUM, date(2026, 6, 12), SeasonFacts()).not_checked


def test_out_of_season_but_not_ruled_out_is_told_apart():
    found = earliest_sensible_day(Method.WASH_AND_VACUUM, date(2026, 10, 8), DEFAULT)
    assert (found.on, found.possible_on) == (date(2027, 6, 1), date(2026, 10, 8))


def test_a_method_without_a_season_is_left_open():
    found = earliest_sensible_day(Method.DRAIN_FLUSHED, date(2026, 1, 5), DEFAULT)
    assert (found.on, found.possible_on) == (date(2026, 1, 5), date(2026, 1, 5))


def test_the_south_is_half_a_year_later():
    facts = SeasonFacts(calendar=shifted(COLD_WET_LEAFY, 182), placed_on=date(2020, 1, 1))
    # 1 June moved by 182 days is 30 November, 30 September is 31 March.
    assert first(Method.WASH_AND_VACUUM, "2026-05-01", facts) == "2026-11-30"
    assert last_sensible_day(Method.WASH_AND_VACUUM, date(2027, 1, 1), facts) == date(2027, 3, 31)


def test_the_sweep_after_the_last_sand_is_due_in_3_weeks():
    sand = (DatedFact(Fact.LAST_SAND, date(2026, 3, 20)),)
    assert sweep_after_sand_by(sand, date(2026, 4, 1)) == date(2026, 4, 10)
    assert sweep_after_sand_by(sand, date(2026, 3, 1)) is None
    assert sweep_after_sand_by((), date(2026, 4, 1)) is None


@given(DAYS, st.integers(0, 400), st.sampled_from(Method))
def test_a_later_as_of_never_gives_an_earlier_day(after, later, method):
    one = earliest_sensible_day(method, after, DEFAULT)
    two = earliest_sensible_day(method, after + timedelta(days=later), DEFAULT)
    assert one.on <= two.on
    assert one.possible_on <= two.possible_on


@given(DAYS, st.sampled_from(Method))
def test_the_earliest_day_is_never_ruled_out(after, method):
    found = earliest_sensible_day(method, after, DEFAULT)
    assert after <= found.possible_on <= found.on
    assert why_ruled_out(method, found.on, DEFAULT) == ""
