"""Changes of the clock, against the VTIMEZONE of New York printed in RFC 5545."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from registry.agenda.clock_changes import clock_changes, zone_component
from tests.agenda import by_hand


def zone_of(name, first_year, last_year):
    lines = zone_component(name, first_year, last_year).to_ical()
    calendar = by_hand.read(b"BEGIN:VCALENDAR\r\n" + lines + b"END:VCALENDAR\r\n")
    return calendar.parts[0]


def test_new_york_against_rfc_5545_section_3_6_5():
    """Its example: DAYLIGHT DTSTART:20070311T020000 from -0500 to -0400 EDT, and STANDARD
    DTSTART:20071104T020000 from -0400 to -0500 EST.
    """
    zone = zone_of("America/New_York", 2007, 2007)
    told = [
        (p.name, *(p.value(n) for n in ("DTSTART", "TZOFFSETFROM", "TZOFFSETTO", "TZNAME")))
        for p in zone.parts[1:]
    ]
    assert told == [
        ("DAYLIGHT", "20070311T020000", "-0500", "-0400", "EDT"),
        ("STANDARD", "20071104T020000", "-0400", "-0500", "EST"),
    ]


@pytest.mark.parametrize(
    "name", ["America/New_York", "Europe/Berlin", "Australia/Lord_Howe", "Africa/Casablanca"]
)
def test_every_quarter_of_an_hour_of_three_years_has_the_offset_of_the_zone_data(name):
    """Against the time zone data of the machine. The second of two equal clock times is left out:
    no local time can say it.
    """
    zone, here = zone_of(name, 2025, 2027), ZoneInfo(name)
    at, wrong = datetime(2025, 1, 2, tzinfo=UTC), []
    while at < datetime(2027, 12, 31, tzinfo=UTC):
        local = at.astimezone(here)
        if not local.fold and by_hand.offset_at(zone, local.replace(tzinfo=None)) != (
            local.utcoffset()
        ):
            wrong.append(local)
        at += timedelta(hours=6) if at.day not in _near_changes(name, at) else timedelta(minutes=15)
    assert wrong == []


def _near_changes(name, at):
    begins = at.replace(day=1, hour=0, minute=0)
    found = clock_changes(name, begins, begins + timedelta(days=32))
    return {change.at.day + n for change in found for n in (-1, 0, 1)}


def test_zone_without_changes_has_one_clock():
    zone = zone_of("Asia/Kolkata", 2025, 2027)
    assert [(p.name, p.value("TZOFFSETTO")) for p in zone.parts] == [("STANDARD", "+0530")]


def test_change_is_found_to_the_second():
    (change,) = clock_changes(
        "Europe/Berlin", datetime(2026, 3, 1, tzinfo=UTC), datetime(2026, 4, 1, tzinfo=UTC)
    )
    assert change.at == datetime(2026, 3, 29, 1, tzinfo=UTC)
    assert change.on_the_old_clock == datetime(2026, 3, 29, 2)
    assert change.is_summer
