"""What the clock on the wall shows, and whether hours as written hold it. For the check alone."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from registry.planning.rounds.hours import ClockSpan, WeekSpan

DAY = timedelta(days=1)


def on_the_wall(at: datetime, zone: ZoneInfo) -> datetime:
    """Return date and time as a clock there shows them, without a zone."""
    return at.astimezone(zone).replace(tzinfo=None, fold=0)


def in_a_span(
    hours: Sequence[WeekSpan], closed_on: frozenset[date], begins: datetime, ends: datetime
) -> bool:
    """Say whether hours of the week hold everything from `begins` to `ends`.

    Day by day, so that hours that follow on one another without a gap count as one.
    """
    spans = []
    on = begins.date() - DAY
    while on <= ends.date():
        midnight = datetime.combine(on, datetime.min.time())
        if on not in closed_on:
            spans += [(midnight, midnight + DAY)] if not hours else []
            spans += [_on_day(h.span, on) for h in hours if _begins_on(h, on)]
        on += DAY
    return _held(spans, begins, ends)


def gaps_left(span: ClockSpan, begins: datetime, ends: datetime) -> bool:
    """Say whether the same span on every day leaves a part of `begins` to `ends` out."""
    days = (ends.date() - begins.date()).days + 2
    spans = [_on_day(span, begins.date() + n * DAY) for n in range(-1, days)]
    return not _held(spans, begins, ends)


def _begins_on(hours: WeekSpan, on: date) -> bool:
    if hours.weekday != on.weekday():
        return False
    return hours.holds is None or hours.holds.first_on <= on <= hours.holds.last_on


def _on_day(span: ClockSpan, on: date) -> tuple[datetime, datetime]:
    begins, ends = (datetime.combine(on, clock) for clock in (span.begins, span.ends))
    return begins, ends if ends > begins else ends + DAY


def _held(spans: list[tuple[datetime, datetime]], begins: datetime, ends: datetime) -> bool:
    held_to = begins
    for opens, closes in sorted(spans):
        if opens <= held_to <= closes:
            held_to = max(held_to, closes)
    inside = any(opens <= begins < closes for opens, closes in spans)
    return inside and held_to >= ends


def during(span: ClockSpan, on: date, zone: ZoneInfo, begins: datetime, ends: datetime) -> int:
    """Return how many whole minutes of a break that begins on `on` lie between two instants."""
    first, last = _on_day(span, on)
    a, b = (clock.replace(tzinfo=zone).timestamp() for clock in (first, last))
    return max(0, int(min(b, ends.timestamp()) - max(a, begins.timestamp())) // 60)
