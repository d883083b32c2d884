"""Hours in which a site is open in a week: those for access, less those closed, while heard.

A week is minutes from Monday 00:00 on, 10 080 of them; spans are half-open and in order.
"""

from collections.abc import Iterable
from datetime import time

from registry.planning.rounds.hours import ClockSpan, DaySpan, WeekSpan

DAY_MINUTES = 24 * 60
WEEK_MINUTES = 7 * DAY_MINUTES
Minutes = tuple[int, int]
Rows = Iterable[tuple[int, ClockSpan]]


def open_week(access: Rows, closed: Rows, noise: Rows) -> list[Minutes]:
    """Return when a site is open; no hours for access, or for noise, are no limit."""
    spans = _minutes(access) or [(0, WEEK_MINUTES)]
    spans = _both(spans, _minutes(noise) or [(0, WEEK_MINUTES)])
    return _both(spans, _others(_minutes(closed)))


def week_spans(spans: Iterable[Minutes], holds: DaySpan) -> list[WeekSpan]:
    """Return the spans day by day, cut at midnight, as they hold from one day to another."""
    found = []
    for begins, ends in spans:
        while begins < ends:
            day = begins // DAY_MINUTES
            cut = min(ends, (day + 1) * DAY_MINUTES)
            found.append(WeekSpan(day, ClockSpan(_clock(begins), _clock(cut)), holds))
            begins = cut
    return found


def is_whole_week(spans: list[Minutes]) -> bool:
    """Say whether a site is always open."""
    return spans == [(0, WEEK_MINUTES)]


def _clock(minute: int) -> time:
    within = minute % DAY_MINUTES
    return time(within // 60, within % 60)


def _minutes(rows: Rows) -> list[Minutes]:
    """The rows as minutes of the week, those over its end carried to its begin, joined."""
    found: list[Minutes] = []
    for weekday, span in rows:
        begins = weekday * DAY_MINUTES + span.begins.hour * 60 + span.begins.minute
        ends = weekday * DAY_MINUTES + span.ends.hour * 60 + span.ends.minute
        if span.ends <= span.begins:
            ends += DAY_MINUTES
        found.append((begins, min(ends, WEEK_MINUTES)))
        if ends > WEEK_MINUTES:
            found.append((0, ends - WEEK_MINUTES))
    joined: list[Minutes] = []
    for begins, ends in sorted(found):
        if joined and begins <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], ends))
        else:
            joined.append((begins, ends))
    return joined


def _both(some: list[Minutes], others: list[Minutes]) -> list[Minutes]:
    cut = ((max(a, c), min(b, d)) for a, b in some for c, d in others)
    return sorted((a, b) for a, b in cut if a < b)


def _others(spans: list[Minutes]) -> list[Minutes]:
    """The rest of the week."""
    edges = [0, *(edge for span in spans for edge in span), WEEK_MINUTES]
    pairs = zip(edges[::2], edges[1::2], strict=True)
    return [(a, b) for a, b in pairs if a < b]
