"""Hours covered (N14): elapsed by UTC, less every break.

That curing is counted in elapsed hours is common practice, no source.
Worked by hand: 2025-10-30 11:00 (UTC-4) to 2025-11-06 11:00 (UTC-5) is 169 h, the clocks say 168.
Dates of the changes: US summer time ended 2025-11-02 and began 2025-03-09 (IANA time zones).
"""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.instants import read_local_instant
from registry.placing import (
    Break,
    Covered,
    NotGiven,
    PlacingError,
    age_h,
    days_without_a_walk,
    duration_words,
    hours_covered,
)
from registry.units import Ambiguous

ZONE = "America/New_York"


def at(text: str, fold: int | None = None) -> datetime:
    return read_local_instant(text, ZONE, fold)


def covered(begin: str, end: str, *breaks: Break) -> Covered:
    found = hours_covered(at(begin), at(end), breaks)
    assert isinstance(found, Covered)
    return found


def test_the_end_of_summer_time_gives_an_hour_more_than_the_clocks_say():
    """7 x 24 h of the clocks and the hour of 2025-11-02 that came twice (IANA), by hand."""
    found = covered("2025-10-30 11:00", "2025-11-06 11:00")
    assert (found.hours, found.clock_s / 3600) == (169, 168)
    assert found.words == "7 d 1 h"


def test_the_beginning_of_summer_time_gives_an_hour_less():
    """7 x 24 h of the clocks less the hour of 2025-03-09 that did not come (IANA), by hand."""
    found = covered("2025-03-05 11:00", "2025-03-12 11:00")
    assert (found.hours, found.clock_s / 3600) == (167, 168)
    assert found.short_by_s(168) == 3600


def test_a_doubled_half_past_one_is_asked_for_and_each_answer_counts_its_own():
    with pytest.raises(Ambiguous) as asked:
        at("2025-11-02 01:30")
    first, second = (moment for _, moment in asked.value.choices)
    early = hours_covered(at("2025-11-01 12:00"), first)
    late = hours_covered(at("2025-11-01 12:00"), second)
    assert (early.hours, late.hours) == (13.5, 14.5)


def test_lanes_a_and_c_of_the_dispute_as_printed():
    """Table 1F: covered 2023-08-22 11:33, uncovered 2023-08-29 08:00."""
    found = covered("2023-08-22 11:33", "2023-08-29 08:00")
    assert found.words == "6 d 20 h 27 min"
    assert duration_words(found.short_by_s(168)) == "3 h 33 min"


def test_lanes_b_and_d_of_the_dispute_as_printed():
    assert covered("2023-08-24 11:11", "2023-08-31 12:00").words == "7 d 0 h 49 min"


def gust() -> Break:
    return Break(at("2023-08-22 13:40"), at("2023-08-22 14:10"), "C8-C9", "wind")


def test_the_sheet_that_flew_off_is_taken_away_and_listed():
    found = covered("2023-08-22 11:33", "2023-08-29 08:00", gust())
    assert (found.words, found.bare_s) == ("6 d 19 h 57 min", 1800)
    assert found.breaks == (gust(),)


def test_the_gust_came_three_and_a_half_to_four_hours_after_placing():
    """Table 1F: 3.5-4 h after placing, inside the first 6 h; load 8 was placed 09:52 to 10:07."""
    assert gust().hours_after(at("2023-08-22 10:07")) == pytest.approx(3.55)
    assert gust().is_early(at("2023-08-22 10:07"))
    assert not gust().is_early(at("2023-08-22 07:00"))


def test_breaks_that_overlap_or_reach_beyond_count_once():
    breaks = [
        Break(at("2023-08-22 10:00"), at("2023-08-22 12:33"), "C8", "wind"),
        Break(at("2023-08-22 12:03"), at("2023-08-22 13:03"), "C9", "wind"),
        Break(at("2023-09-22 12:03"), at("2023-09-22 13:03"), "C9", "after it all"),
    ]
    found = covered("2023-08-22 11:33", "2023-08-29 08:00", *breaks)
    assert found.bare_s == 90 * 60
    assert len(found.breaks) == 2


def test_a_break_that_nobody_ended_gives_no_hours():
    open_break = Break(at("2023-08-22 13:40"), None, "C8-C9", "wind")
    found = hours_covered(at("2023-08-22 11:33"), at("2023-08-29 08:00"), [open_break])
    assert found == NotGiven("Nobody wrote down when the cover at C8-C9 was laid again.")


def test_without_cover_or_uncover_no_hours_are_given():
    assert hours_covered(None, at("2023-08-29 08:00")) == NotGiven("The time of cover is missing.")
    assert hours_covered(at("2023-08-22 11:33"), None).reason == "The time of uncover is missing."


def test_what_runs_backwards_is_refused():
    with pytest.raises(PlacingError):
        hours_covered(at("2023-08-29 08:00"), at("2023-08-22 11:33"))
    with pytest.raises(PlacingError):
        Break(at("2023-08-22 14:10"), at("2023-08-22 13:40"), "C8", "wind")
    with pytest.raises(PlacingError):
        age_h(at("2023-08-24 11:00"), at("2023-08-23 11:00"))


def test_the_age_of_the_slab_under_the_early_van():
    """Table 1F: van on D11 2023-09-05 16:05, 12 days after lane D was placed."""
    assert int(age_h(at("2023-08-24 10:54"), at("2023-09-05 16:05")) / 24) == 12


def test_whole_days_without_a_walk_are_named():
    walks = [at("2023-08-23 07:10"), at("2023-08-24 11:11"), at("2023-08-25 07:00"),
             at("2023-08-27 07:00"), at("2023-08-28 07:00")]  # fmt: skip
    missing = days_without_a_walk(at("2023-08-22 11:33"), at("2023-08-29 08:00"), walks)
    assert missing == ("2023-08-26",)


INSTANTS = st.datetimes(datetime(2025, 1, 1), datetime(2025, 12, 1))
LENGTHS = st.integers(0, 40 * 24 * 60)


@given(INSTANTS, LENGTHS, st.lists(st.tuples(INSTANTS, LENGTHS), max_size=5))
def test_hours_covered_are_never_negative_nor_more_than_elapsed(begin, minutes, raw):
    zone = ZoneInfo(ZONE)

    def local(moment: datetime, later: int = 0) -> datetime:
        return (moment.replace(tzinfo=UTC) + timedelta(minutes=later)).astimezone(zone)

    breaks = [Break(local(start), local(start, length), "A1", "wind") for start, length in raw]
    found = hours_covered(local(begin), local(begin, minutes), breaks)
    assert found.elapsed_s == 60 * minutes
    assert 0 <= found.covered_s <= found.elapsed_s
