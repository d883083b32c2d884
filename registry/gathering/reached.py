"""The cleanings that went over a place, by day: asked for each test, so found without a search."""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from registry.models import Cleaning

WASHES = frozenset({"wash_then_vacuum", "wash_and_vacuum"})


@dataclass(frozen=True)
class CleaningsThere:
    """Cleanings of one place, oldest first, with their days; washes apart."""

    all: tuple[Cleaning, ...]
    days: tuple[date, ...]
    washes: tuple[Cleaning, ...]
    wash_days: tuple[date, ...]

    @classmethod
    def of(cls, cleanings: Sequence[Cleaning]) -> "CleaningsThere":
        """Return those of a place; `cleanings` in order of their days."""
        washes = tuple(c for c in cleanings if c.method in WASHES)
        return cls(
            all=tuple(cleanings),
            days=tuple(c.done_on for c in cleanings),
            washes=washes,
            wash_days=tuple(c.done_on for c in washes),
        )

    def on(self, day: date) -> tuple[Cleaning, ...]:
        """Return those of one day."""
        return self.all[bisect_left(self.days, day) : bisect_right(self.days, day)]

    def any_between(self, first: date, last: date) -> bool:
        """Say whether there is one from a day to another, both included."""
        return bisect_left(self.days, first) < bisect_right(self.days, last)

    def last_wash(self, day: date) -> Cleaning | None:
        """Return the last wash up to a day, that day included."""
        count = bisect_right(self.wash_days, day)
        return self.washes[count - 1] if count else None
