"""How many hours a strip lay under its cover (N14).

From the last foot covered to the first uncover, in elapsed hours by UTC (an hour more or less
than the clocks say where summer time begins or ends between), less every break. Times of a site's
clock are read by `registry.instants.read_local_instant`, which asks which of two 01:30 is meant.

The first 6 hours are the most easily harmed; 7 days is a published cure, 4 days the least that
the trade speaks of (common practice, no source): the contract's own time is what is compared.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from registry.instants import elapsed_seconds
from registry.placing.faults import NotGiven, PlacingError

FIRST_HOURS = 6.0


@dataclass(frozen=True)
class Break:
    """A time without cover, from one aware instant to another.

    relaid_at  None where nobody knows when, or whether, it was laid again
    """

    bare_at: datetime
    relaid_at: datetime | None
    where: str
    cause: str

    def __post_init__(self) -> None:
        if self.relaid_at is not None and elapsed_seconds(self.bare_at, self.relaid_at) < 0:
            raise PlacingError("A sheet cannot be laid again before it came off.")

    def hours_after(self, placed_at: datetime) -> float:
        """Elapsed hours from placing to the break."""
        return elapsed_seconds(placed_at, self.bare_at) / 3600

    def is_early(self, placed_at: datetime, first_hours: float = FIRST_HOURS) -> bool:
        """Whether it came in the first hours after placing."""
        return self.hours_after(placed_at) < first_hours


@dataclass(frozen=True)
class Covered:
    """Seconds under cover, never below 0.

    elapsed_s   from the last cover to the first uncover
    bare_s      of the breaks between, what overlaps counted once
    clock_s     what the clocks at the site say of the same time
    breaks      each that touches it, oldest first
    """

    elapsed_s: float
    bare_s: float
    clock_s: float
    breaks: tuple[Break, ...]

    @property
    def covered_s(self) -> float:
        return self.elapsed_s - self.bare_s

    @property
    def hours(self) -> float:
        return self.covered_s / 3600

    def short_by_s(self, required_h: float) -> float:
        """Seconds that are missing of the required hours, 0 if none."""
        return max(3600 * required_h - self.covered_s, 0.0)

    @property
    def words(self) -> str:
        """ "6 d 20 h 27 min"."""
        return duration_words(self.covered_s)


def hours_covered(
    covered_at: datetime | None, uncovered_at: datetime | None, breaks: Sequence[Break] = ()
) -> Covered | NotGiven:
    """N14 of one strip; says what is missing instead.

    covered_at    the last foot covered, in the site's time zone
    uncovered_at  the first foot uncovered for good
    Raises PlacingError where it was uncovered before it was covered.
    """
    if covered_at is None or uncovered_at is None:
        missing = "cover" if covered_at is None else "uncover"
        return NotGiven(f"The time of {missing} is missing.")
    elapsed_s = elapsed_seconds(covered_at, uncovered_at)
    if elapsed_s < 0:
        raise PlacingError("The strip is said to be uncovered before it was covered.")
    begin, end = covered_at.astimezone(UTC), uncovered_at.astimezone(UTC)
    touching = [one for one in breaks if _touches(one, begin, end)]
    spans = []
    for one in touching:
        if one.relaid_at is None:
            return NotGiven(f"Nobody wrote down when the cover at {one.where} was laid again.")
        bare, relaid = one.bare_at.astimezone(UTC), one.relaid_at.astimezone(UTC)
        spans.append((max(bare, begin), min(relaid, end)))
    bare_s = sum((end - start).total_seconds() for start, end in _joined(spans))
    in_order = tuple(sorted(touching, key=lambda one: one.bare_at.astimezone(UTC)))
    clock = uncovered_at.replace(tzinfo=None) - covered_at.replace(tzinfo=None)
    return Covered(elapsed_s, bare_s, clock.total_seconds(), in_order)


def duration_words(seconds: float) -> str:
    """ "6 d 20 h 27 min", "3 h 33 min", "30 min"; seconds are cut off."""
    days, rest = divmod(int(seconds) // 60, 24 * 60)
    hours, minutes = divmod(rest, 60)
    parts = [f"{days} d"] if days else []
    parts += [f"{hours} h"] if hours or (days and minutes) else []
    parts += [f"{minutes} min"] if minutes or not parts else []
    return " ".join(parts)


def age_h(placed_at: datetime, load_at: datetime) -> float:
    """Elapsed hours from placing to an early load. Raises PlacingError if it came before."""
    hours = elapsed_seconds(placed_at, load_at) / 3600
    if hours < 0:
        raise PlacingError("Nothing can stand on a strip before it is placed.")
    return hours


def _touches(one: Break, begin: datetime, end: datetime) -> bool:
    bare = one.bare_at.astimezone(UTC)
    relaid = one.relaid_at.astimezone(UTC) if one.relaid_at else end
    return bare < end and relaid > begin


def _joined(spans: list[tuple[datetime, datetime]]) -> list[tuple[datetime, datetime]]:
    """Spans in order, with those that overlap made one."""
    joined: list[tuple[datetime, datetime]] = []
    for start, end in sorted(spans):
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((start, end))
    return joined


def days_without_a_walk(
    covered_at: datetime, uncovered_at: datetime, walked_at: Sequence[datetime]
) -> tuple[str, ...]:
    """Site days, ISO, wholly between cover and uncover on which nobody looked at the cover."""
    zone = covered_at.tzinfo
    seen = {at.astimezone(zone).date() for at in walked_at}
    first = covered_at.date() + timedelta(days=1)
    whole = itertools.takewhile(
        lambda day: day < uncovered_at.astimezone(zone).date(),
        (first + timedelta(days=n) for n in itertools.count()),
    )
    return tuple(day.isoformat() for day in whole if day not in seen)
