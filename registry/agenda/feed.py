"""A calendar as an iCalendar file that other programs subscribe to (RFC 5545, RFC 7986).

What each line follows, sections of RFC 5545: folding at 75 octets 3.1; an all-day event has dates,
its end the day after the last 3.6.1 and 3.8.2.2; a time with TZID has its VTIMEZONE in the file
3.6.5; a clock time that comes twice means the first of both 3.3.5, so the second is given in UTC;
at least one component 3.6, so the organisation's VTIMEZONE is always there; without METHOD
(which would ask for an organiser's address) DTSTAMP is the last change 3.8.7.2.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event
from icalendar.prop import vDuration

from registry.agenda.clock_changes import zone_component
from registry.agenda.item import Item

PRODUCT = "-//Pavement registry//Calendar of work//EN"
ASK_AGAIN = timedelta(hours=1)
YEARS_BESIDE = 1


@dataclass(frozen=True)
class FeedEvent:
    """A thing on a calendar as an event.

    uid         the same for ever; sequence, changed_at rise with every change of it
    summary     its title; description: lines of words
    is_cancelled   called off, turned away, given up, void
    takes_time  whether whoever subscribes is busy then
    """

    uid: str
    item: Item
    sequence: int
    changed_at: datetime
    summary: str
    description: str = ""
    is_cancelled: bool = False
    takes_time: bool = True


@dataclass(frozen=True)
class Feed:
    """A calendar with its name, the local time of its organisation, and events."""

    name: str
    zone: str
    events: Sequence[FeedEvent]


def write_feed(feed: Feed) -> bytes:
    """Return the file. The same feed gives the same bytes."""
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", in_one_line(feed.name))
    calendar.add("x-wr-calname", in_one_line(feed.name))
    calendar.add("refresh-interval", vDuration(ASK_AGAIN), parameters={"VALUE": "DURATION"})
    events = sorted(feed.events, key=lambda event: event.uid)
    for zone, first, last in _zones(feed.zone, events):
        calendar.add_component(zone_component(zone, first, last))
    for event in events:
        calendar.add_component(_event(event))
    return bytes(calendar.to_ical(sorted=False))


def _event(event: FeedEvent) -> Event:
    item, row = event.item, Event()
    row.add("uid", event.uid)
    for name in ("dtstamp", "last-modified"):
        row.add(name, event.changed_at.astimezone(UTC))
    row.add("sequence", event.sequence)
    row.add("summary", in_one_line(event.summary))
    for name, value in zip(("dtstart", "dtend"), _span(item), strict=True):
        if value is not None:
            row.add(name, value)
    if event.description:
        row.add("description", printable(event.description))
    if item.place:
        row.add("location", in_one_line(item.place))
    row.add("status", "CANCELLED" if event.is_cancelled else "CONFIRMED")
    row.add("transp", "OPAQUE" if event.takes_time and not event.is_cancelled else "TRANSPARENT")
    return row


def _span(item: Item) -> tuple[date, date | None]:
    """Return begin and end; the end of a timed event is None where no end is known."""
    if item.starts_at is None:
        return item.first_on, item.last_on + timedelta(days=1)
    zone = ZoneInfo(item.zone)
    ends_at = item.ends_at if item.ends_at and item.ends_at > item.starts_at else None
    instants = [at for at in (item.starts_at, ends_at) if at is not None]
    local = [at.astimezone(zone) for at in instants]
    if any(at.fold for at in local) or item.zone == "UTC":
        local = [at.astimezone(UTC) for at in instants]
    return local[0], local[1] if len(local) > 1 else None


def _zones(own: str, events: Iterable[FeedEvent]) -> list[tuple[str, int, int]]:
    """Return the local times that are named, each with the first and last year to cover."""
    years: dict[str, list[int]] = {own: []}
    for event in events:
        found = years.setdefault(event.item.zone, [])
        if event.item.starts_at is not None:
            found += [event.item.first_on.year, event.item.last_on.year]
    every = [year for found in years.values() for year in found] or [1970]
    return [
        (zone, min(found or every) - YEARS_BESIDE, max(found or every) + YEARS_BESIDE)
        for zone, found in sorted(years.items())
    ]


def printable(text: str) -> str:
    """Return a text without signs that no line of the file may hold (RFC 5545, 3.3.11)."""
    lines = (line.split() for line in text.splitlines())
    kept = (" ".join(words) for words in lines)
    return "\n".join("".join(s for s in line if s.isprintable()) for line in kept)


def in_one_line(text: str) -> str:
    """Return such a text without line breaks."""
    return " ".join(printable(text).split())
