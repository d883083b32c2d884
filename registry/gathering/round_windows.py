"""Hours of a site as a round takes them: what holds changes within the round day by day.

Hours of a pavement stand in place of those of its site, kind by kind; what is closed counts both.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from registry.gathering.round_crews import clock_of
from registry.models import Pavement, Round, SiteWindow, WindowKind
from registry.planning.rounds.hours import ClockSpan, DaySpan, WeekSpan
from registry.planning.rounds.week_hours import is_whole_week, open_week, week_spans

DAY = timedelta(days=1)
EVERY_DAY = set(range(7))


@dataclass(frozen=True)
class OpenHours:
    """As `Order` has them: windows, days without any, and hours in which machines may be heard."""

    windows: tuple[WeekSpan, ...] = ()
    closed_on: frozenset[date] = frozenset()
    noise: ClockSpan | None = None


def open_hours(row: Round, pavement: Pavement, windows: Iterable[SiteWindow]) -> OpenHours:
    """Return when a pavement is open in a round.

    windows    standing ones of its site, of the pavement itself or of no pavement
    """
    own = [w for w in windows if w.pavement_id in (None, pavement.pk)]
    if not own:
        return OpenHours()
    noise = _one_noise(own)
    spans: list[WeekSpan] = []
    closed: list[date] = []
    always = True
    for holds in _stretches(row, own):
        rows = [w for w in own if _holds(w, holds.first_on)]
        kinds = {kind: _rows(rows, kind) for kind in WindowKind}
        heard = [] if noise else kinds[WindowKind.NOISE]
        week = open_week(kinds[WindowKind.ACCESS], kinds[WindowKind.CLOSED], heard)
        always = always and is_whole_week(week)
        spans += week_spans(week, holds)
        if not week:
            days = (holds.last_on - holds.first_on).days + 1
            closed += [holds.first_on + n * DAY for n in range(days)]
    return OpenHours(() if always else tuple(spans), frozenset(closed), noise)


def _one_noise(windows: Sequence[SiteWindow]) -> ClockSpan | None:
    """The hours of noise where they are the same on every day of the week and of the round."""
    rows = [w for w in windows if w.kind == WindowKind.NOISE]
    if len(rows) != 1 or rows[0].from_on is not None or rows[0].to_on is not None:
        return None
    spans = {(str(a), str(b)) for _, a, b in rows[0].hours}
    if len(spans) != 1 or {int(day) for day, _, _ in rows[0].hours} != EVERY_DAY:
        return None
    begins, ends = spans.pop()
    return ClockSpan(clock_of(begins), clock_of(ends))


def _holds(window: SiteWindow, on: date) -> bool:
    begun = window.from_on is None or window.from_on <= on
    return begun and (window.to_on is None or on < window.to_on)


def _stretches(row: Round, windows: Iterable[SiteWindow]) -> list[DaySpan]:
    """The stretches of a round, and the day before, in which the same hours hold."""
    first = row.first_on - DAY
    days = {day for w in windows for day in (w.from_on, w.to_on) if day is not None}
    last = row.last_on + DAY
    begins = [first, *sorted(day for day in days if first < day <= last)]
    ends = [day - DAY for day in begins[1:]] + [last]
    return [DaySpan(a, b) for a, b in zip(begins, ends, strict=True)]


def _rows(windows: Sequence[SiteWindow], kind: str) -> list[tuple[int, ClockSpan]]:
    of_kind = [w for w in windows if w.kind == kind]
    own = [w for w in of_kind if w.pavement_id is not None]
    if own and kind != WindowKind.CLOSED:
        of_kind = own
    return [
        (int(day), ClockSpan(clock_of(a), clock_of(b))) for w in of_kind for day, a, b in w.hours
    ]
