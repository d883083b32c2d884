"""The file of a feed: read back by the icalendar package, and by hand by the words of RFC 5545."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from registry.agenda import Feed, FeedEvent, Item, write_feed
from tests.agenda import by_hand

NEW_YORK, BERLIN = "America/New_York", "Europe/Berlin"
AT = datetime(2026, 3, 1, 12, tzinfo=UTC)


def item(day=date(2026, 9, 14), *, zone=NEW_YORK, **fields):
    told = {"kind": "order", "title": "W-1 lot", "row_id": 1, "zone": zone, "last_on": day}
    return Item(first_on=day, **{**told, **fields})


def timed(starts_at, hours=1.0, zone=NEW_YORK):
    day = starts_at.astimezone(ZoneInfo(zone)).date()
    ends_at = None if hours is None else starts_at + timedelta(hours=hours)
    return item(day, zone=zone, starts_at=starts_at, ends_at=ends_at)


def event(of=None, **fields):
    told = {"uid": "a", "sequence": 3, "changed_at": AT, "summary": "W-1 lot: vacuum"}
    return FeedEvent(item=of or item(), **{**told, **fields})


def file_of(*events, zone=NEW_YORK, name="calendar of crew 1"):
    return write_feed(Feed(name, zone, events))


def by_library(file):
    """Return the events as the icalendar package reads them; it raises where it cannot."""
    calendar = Calendar.from_ical(file)
    assert [error for part in calendar.walk() for error in part.errors] == []
    return list(calendar.walk("VEVENT"))


def by_hand_alone(file):
    calendar = by_hand.read(file)
    return calendar, calendar.named("VEVENT")


def test_event_of_a_whole_day_ends_the_day_after_its_last():
    """RFC 5545, 3.6.1: DTEND of a DATE is the first day that is no more part of it."""
    file = file_of(event(item(last_on=date(2026, 9, 15))))
    (row,) = by_library(file)
    assert (row["dtstart"].dt, row["dtend"].dt) == (date(2026, 9, 14), date(2026, 9, 16))
    _, (part,) = by_hand_alone(file)
    assert part.value("DTSTART") == "20260914"
    assert part.parameters("DTSTART") == {"VALUE": "DATE"} == part.parameters("DTEND")
    assert part.value("DTEND") == "20260916"


def test_timed_event_names_the_zone_of_its_site_and_the_file_tells_of_it():
    file = file_of(event(timed(datetime(2026, 9, 14, 11, 30, tzinfo=UTC))))
    (row,) = by_library(file)
    assert row["dtstart"].dt == datetime(2026, 9, 14, 7, 30, tzinfo=ZoneInfo(NEW_YORK))
    calendar, (part,) = by_hand_alone(file)
    assert part.value("DTSTART") == "20260914T073000"
    assert part.parameters("DTSTART") == {"TZID": NEW_YORK}
    assert [zone.value("TZID") for zone in calendar.named("VTIMEZONE")] == [NEW_YORK]


# Changes of the clock from memory of the public rules: New York, second Sunday in March at 02:00
# and first in November at 02:00; Berlin, last Sunday in March and in October at 01:00 UTC.
@pytest.mark.parametrize(
    ("zone", "written", "instant"),
    [
        (NEW_YORK, "20260307T030000", datetime(2026, 3, 7, 8, tzinfo=UTC)),  # the day before
        (NEW_YORK, "20260308T013000", datetime(2026, 3, 8, 6, 30, tzinfo=UTC)),  # an hour before
        (NEW_YORK, "20260308T030000", datetime(2026, 3, 8, 7, tzinfo=UTC)),  # as the gap ends
        (NEW_YORK, "20260308T033000", datetime(2026, 3, 8, 7, 30, tzinfo=UTC)),
        (NEW_YORK, "20260309T030000", datetime(2026, 3, 9, 7, tzinfo=UTC)),  # the day after
        (NEW_YORK, "20261101T003000", datetime(2026, 11, 1, 4, 30, tzinfo=UTC)),
        (NEW_YORK, "20261101T013000", datetime(2026, 11, 1, 5, 30, tzinfo=UTC)),  # the first 01:30
        (NEW_YORK, "20261101T063000Z", datetime(2026, 11, 1, 6, 30, tzinfo=UTC)),  # the second
        (NEW_YORK, "20261101T020000", datetime(2026, 11, 1, 7, tzinfo=UTC)),
        (BERLIN, "20260329T013000", datetime(2026, 3, 29, 0, 30, tzinfo=UTC)),
        (BERLIN, "20260329T030000", datetime(2026, 3, 29, 1, tzinfo=UTC)),
        (BERLIN, "20261025T023000", datetime(2026, 10, 25, 0, 30, tzinfo=UTC)),  # the first 02:30
        (BERLIN, "20261025T013000Z", datetime(2026, 10, 25, 1, 30, tzinfo=UTC)),  # the second
        ("Asia/Kolkata", "20260308T050000", datetime(2026, 3, 7, 23, 30, tzinfo=UTC)),
        ("UTC", "20260308T050000Z", datetime(2026, 3, 8, 5, tzinfo=UTC)),
    ],
)
def test_clock_times_on_both_sides_of_a_change_mean_the_instant(zone, written, instant):
    file = file_of(event(timed(instant, hours=None, zone=zone)))
    calendar, (part,) = by_hand_alone(file)
    assert part.value("DTSTART") == written
    assert by_hand.instant_of(part, "DTSTART", calendar) == instant
    (row,) = by_library(file)
    assert row["dtstart"].dt.astimezone(UTC) == instant


@pytest.mark.parametrize("month", [3, 11])
def test_work_through_a_change_of_the_clock_lasts_as_long_as_it_does(month):
    """Three hours from 00:30; the clock shows four in March and two in November."""
    day = {3: 8, 11: 1}[month]
    starts_at = datetime(2026, month, day, 0, 30, tzinfo=ZoneInfo(NEW_YORK)).astimezone(UTC)
    calendar, (part,) = by_hand_alone(file_of(event(timed(starts_at, hours=3))))
    ends = [by_hand.instant_of(part, name, calendar) for name in ("DTSTART", "DTEND")]
    assert ends == [starts_at, starts_at + timedelta(hours=3)]
    assert part.value("DTEND") == {3: "20260308T043000", 11: "20261101T023000"}[month]


def test_end_in_the_second_hour_takes_both_ends_to_utc():
    _, (part,) = by_hand_alone(
        file_of(event(timed(datetime(2026, 11, 1, 5, 30, tzinfo=UTC), hours=1)))
    )
    assert part.value("DTSTART") == "20261101T053000Z"
    assert part.value("DTEND") == "20261101T063000Z"


def test_work_without_a_known_end_has_none():
    _, (part,) = by_hand_alone(file_of(event(timed(AT, hours=None))))
    assert not part.has("DTEND")


NAMES = ["Ångström Straße; östlich, „Hof“ " * 6, "大通り駐車場" * 20, "a" * 200, "\\n, ;\n: ü"]


@pytest.mark.parametrize("words", NAMES)
def test_words_come_back_whole_and_no_line_is_over_75_octets(words):
    file = file_of(event(replace(item(), place=words), summary=words, description=words))
    _, (part,) = by_hand_alone(file)
    one_line = " ".join(words.split())
    assert by_hand.text_of(part.value("SUMMARY")) == one_line
    assert by_hand.text_of(part.value("LOCATION")) == one_line
    (row,) = by_library(file)
    assert str(row["summary"]) == one_line
    longest = max(len(line) for line in file.split(b"\r\n"))
    assert longest > by_hand.LONGEST - 4 or len(words) < 30  # a sign has four octets at most


@given(st.text(max_size=300))
def test_any_text_makes_a_file_that_both_read_alike(words):
    file = file_of(event(summary=words, description=words), name=words)
    _, (part,) = by_hand_alone(file)
    (row,) = by_library(file)
    assert by_hand.text_of(part.value("SUMMARY")) == str(row["summary"])
    if part.has("DESCRIPTION"):
        assert by_hand.text_of(part.value("DESCRIPTION")) == str(row["description"])


def test_line_break_in_a_name_begins_no_new_property():
    file = file_of(event(summary="lot\r\nATTENDEE:mailto:x@example.org\nEND:VEVENT"))
    _, (part,) = by_hand_alone(file)
    assert not part.has("ATTENDEE")


def test_called_off_stays_as_cancelled_and_takes_no_time():
    _, parts = by_hand_alone(file_of(event(is_cancelled=True), event(uid="b", takes_time=False)))
    assert [(p.value("STATUS"), p.value("TRANSP")) for p in parts] == [
        ("CANCELLED", "TRANSPARENT"),
        ("CONFIRMED", "TRANSPARENT"),
    ]


def test_event_has_what_the_standard_asks_for():
    """RFC 5545, 3.6.1: UID and DTSTAMP once; without METHOD no ORGANIZER; DTSTAMP in UTC."""
    changed_at = AT.astimezone(ZoneInfo(NEW_YORK))
    calendar, (part,) = by_hand_alone(file_of(event(changed_at=changed_at)))
    assert not calendar.has("METHOD")
    assert (calendar.value("VERSION"), calendar.value("CALSCALE")) == ("2.0", "GREGORIAN")
    assert calendar.has("PRODID")
    for name in ("DTSTAMP", "LAST-MODIFIED"):
        assert part.value(name) == "20260301T120000Z"
    assert (part.value("UID"), part.value("SEQUENCE")) == ("a", "3")


def test_feed_without_events_is_a_calendar_all_the_same():
    """RFC 5545, 3.6: one component at least."""
    calendar, events = by_hand_alone(file_of())
    assert events == []
    assert [part.name for part in calendar.parts] == ["VTIMEZONE"]


def test_same_feed_gives_the_same_bytes_in_any_order():
    one, other = event(), event(uid="b")
    assert file_of(one, other) == file_of(other, one)
