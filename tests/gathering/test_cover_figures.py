"""Hours under cover from rows: elapsed, less each break at the panels it reached (N14)."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from registry.gathering.cover_figures import cover_rows, cure_of
from registry.models.together import together
from registry.placing.faults import NotGiven
from tests.factories import PavementFactory, SiteFactory
from tests.placing_factories import (
    CoverBreakFactory,
    CoverFactory,
    CoverWalkFactory,
    PlacingDayFactory,
    UncoverFactory,
)

pytestmark = pytest.mark.django_db
LOCAL = ZoneInfo("America/New_York")


def at(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=LOCAL)


@pytest.fixture
def day(db):
    site = SiteFactory(time_zone="America/New_York")
    return PlacingDayFactory(
        pavement=PavementFactory(site=site), placed_on="2023-08-22", covered_hours_required=168
    )


def strip(day, panels, covered, uncovered):
    CoverFactory(placing_day=day, panels=panels, panels_text="strip", last_at=at(covered))
    UncoverFactory(placing_day=day, panels=panels, at=at(uncovered))


def only(day):
    (found,) = cure_of([day], together(*cover_rows([day]))).strips
    return found


def test_seven_days_of_the_dispute_were_six_days_twenty_hours_and_27_minutes(day):
    """Worked in the curing log of the demonstration: 3 h 33 min short of 168 h."""
    strip(day, ["A1"], "2023-08-22 11:33", "2023-08-29 08:00")
    (part,) = only(day).parts
    assert part.hours.words == "6 d 20 h 27 min"
    assert part.short_s == (3 * 60 + 33) * 60


def test_break_counts_where_it_was_and_nowhere_else(day):
    strip(day, ["C7", "C8", "C9"], "2023-08-22 11:33", "2023-08-29 08:00")
    CoverBreakFactory(
        placing_day=day,
        panels=["C8", "C9"],
        from_at=at("2023-08-22 13:40"),
        to_at=at("2023-08-22 14:10"),
    )
    whole, broken = only(day).parts
    assert (whole.panels, whole.hours.words) == (("C7",), "6 d 20 h 27 min")
    assert (broken.panels, broken.hours.words) == (("C8", "C9"), "6 d 19 h 57 min")
    assert len(broken.breaks) == 1


def test_change_of_the_clock_adds_no_hour(day):
    """Clocks went back on 2023-11-05 in New York (IANA time zone database)."""
    strip(day, ["A1"], "2023-11-04 12:00", "2023-11-05 12:00")
    (part,) = only(day).parts
    assert part.hours.hours == 25


def test_break_that_nobody_ended_gives_no_hours(day):
    strip(day, ["A1"], "2023-08-22 11:33", "2023-08-29 08:00")
    CoverBreakFactory(placing_day=day, panels=["A1"], from_at=at("2023-08-22 13:40"))
    (part,) = only(day).parts
    assert isinstance(part.hours, NotGiven) and part.short_s is None


def test_strip_that_is_still_covered_has_no_hours_yet(day):
    CoverFactory(placing_day=day, panels=["A1"], last_at=at("2023-08-22 11:33"))
    (part,) = only(day).parts
    assert part.hours.reason == "The time of uncover is missing."


def test_day_without_a_walk_is_named(day):
    strip(day, ["B1"], "2023-08-24 11:11", "2023-08-28 12:00")
    for on in ("25", "27"):
        CoverWalkFactory(placing_day=day, at=at(f"2023-08-{on} 07:00"))
    assert only(day).missing_days == ("2023-08-26",)


def test_void_break_counts_no_more(day):
    strip(day, ["A1"], "2023-08-22 11:33", "2023-08-29 08:00")
    CoverBreakFactory(
        placing_day=day, panels=["A1"], from_at=at("2023-08-22 13:40"),
        void_at=at("2023-08-30 08:00"), void_why="another lot",
    )  # fmt: skip
    (part,) = only(day).parts
    assert part.hours.words == "6 d 20 h 27 min"


def test_state_of_a_strip_follows_what_is_written_down(day):
    cover = CoverFactory(placing_day=day, panels=["A1"], panels_text="A1")
    assert only(day).state == "bare"
    cover.last_at = at("2023-08-22 11:33")
    cover.save(update_fields=["last_at"])
    assert only(day).state == "covered"
    off = CoverBreakFactory(
        placing_day=day, panels=["A1"], from_at=at("2023-08-22 13:40"), to_at=None
    )
    assert only(day).state == "broken"
    off.to_at = at("2023-08-22 14:10")
    off.save(update_fields=["to_at"])
    assert only(day).state == "covered again"
    bare = UncoverFactory(placing_day=day, panels=["A1"], at=at("2023-08-29 08:00"))
    assert only(day).state == "short"
    bare.at = at("2023-08-29 13:00")
    bare.save(update_fields=["at"])
    assert only(day).state == "uncovered"


def test_first_six_hours_without_a_walk_are_told_and_later_ones_are_not(day):
    """Hourly in the first six hours: common practice, no source."""
    strip(day, ["A1"], "2023-08-22 11:33", "2023-08-29 08:00")
    for clock in ("12:10", "14:00", "17:40", "23:00"):
        CoverWalkFactory(placing_day=day, at=at(f"2023-08-22 {clock}"))
    assert only(day).unwalked_hours == (2, 4, 5, 6)


def test_no_hour_is_missed_before_it_passed(day):
    CoverFactory(placing_day=day, panels=["A1"], last_at=at("2023-08-22 11:33"))
    assert only(day).unwalked_hours == ()
    CoverWalkFactory(placing_day=day, at=at("2023-08-22 12:45"))
    assert only(day).unwalked_hours == (1,)


def test_break_within_six_hours_of_covering_is_marked(day):
    strip(day, ["A1"], "2023-08-22 11:33", "2023-08-29 08:00")
    soon, late = (
        CoverBreakFactory(
            placing_day=day,
            panels=["A1"],
            from_at=at(f"2023-08-22 {begin}"),
            to_at=at(f"2023-08-22 {end}"),
        )
        for begin, end in (("13:40", "14:10"), ("17:33", "17:50"))
    )
    assert only(day).early_breaks == (soon.pk,) and late.pk not in only(day).early_breaks
