"""One thing that stands on a day of a calendar."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

KINDS: dict[str, str] = {
    "order": "order",
    "called_off": "called off",
    "latest": "latest day",
    "sweep_by": "sweep by",
    "visit": "inspection due",
    "day_off": "not out",
    "day_called_off": "day called off",
    "no_shift": "no shift",
    "extra_shift": "extra shift",
}
"""Code to word; the order is the one in which things of a day without a clock are told."""


@dataclass(frozen=True)
class Item:
    """A thing on a day, or on days from a first to a last, both included.

    kind, title         a key of KINDS, and what it is in few words
    starts_at, ends_at  instants, where a clock is set; None: the whole day, or no end is known
    zone                local time of the site, or of the organisation; days are days there
    row_id              of the order, visit, outlook, day off or shift
    page                name of its page and the id it takes; an empty name: it has none
    state               of an order, in words
    place, crew         in words
    written_at          when its row came in or was worked out
    is_past_due         an order of which nobody wrote down what became of it, or a day that is past
    """

    kind: str
    title: str
    first_on: date
    last_on: date
    zone: str
    row_id: int
    starts_at: datetime | None = None
    ends_at: datetime | None = None
    words: str = ""
    state: str = ""
    place: str = ""
    crew: str = ""
    crew_id: int | None = None
    page: tuple[str, int] = ("", 0)
    written_at: datetime | None = None
    is_past_due: bool = False

    @property
    def word(self) -> str:
        """Return the word for its kind."""
        return KINDS[self.kind]

    @property
    def clock(self) -> str:
        """Return "07:30-09:10" or "07:30" by the clock of its site; nothing for the whole day."""
        if self.starts_at is None:
            return ""
        zone = ZoneInfo(self.zone)
        begins = f"{self.starts_at.astimezone(zone):%H:%M}"
        return f"{begins}-{self.ends_at.astimezone(zone):%H:%M}" if self.ends_at else begins

    def is_on(self, day: date) -> bool:
        """Say whether it stands on a day."""
        return self.first_on <= day <= self.last_on


def in_order(items: Iterable[Item]) -> list[Item]:
    """Return things as a day tells them: first those with a clock, then by kind and name."""
    ranks = list(KINDS)
    return sorted(
        items,
        key=lambda item: (
            item.first_on,
            item.starts_at is None,
            item.starts_at.timestamp() if item.starts_at else 0.0,
            ranks.index(item.kind),
            item.title,
            item.row_id,
        ),
    )


def on_day(items: Iterable[Item], day: date) -> list[Item]:
    """Return what stands on a day, in order."""
    return in_order(item for item in items if item.is_on(day))


def by_day(items: Iterable[Item], days: Sequence[date]) -> dict[date, list[Item]]:
    """Return what stands on each of some days without a gap, in order; each thing is read once."""
    there: dict[date, list[Item]] = {day: [] for day in days}
    first, last = days[0].toordinal(), days[-1].toordinal()
    for item in in_order(items):
        begins = max(first, item.first_on.toordinal())
        for nth in range(begins, min(last, item.last_on.toordinal()) + 1):
            there[date.fromordinal(nth)].append(item)
    return there
