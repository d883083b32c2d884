"""What comes out: for each crew and day the stops in order, and what was left out, and why."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import Enum
from functools import cached_property

from registry.planning.rules import Breach


class StopKind(Enum):
    WORK = "work"
    DUMP = "dump"
    WATER = "water"


@dataclass(frozen=True)
class Stop:
    """One stop. `ref` is that of the order, or the place of a dump or water point.

    Instants are in UTC. A break of the crew that falls between them is part of the stop.
    """

    kind: StopKind
    ref: str
    begins_at: datetime
    ends_at: datetime


@dataclass(frozen=True)
class CrewDay:
    """One shift of one crew; `on` is the local day on which the shift begins."""

    crew: str
    on: date
    leaves_at: datetime
    stops: tuple[Stop, ...]
    returns_at: datetime

    @property
    def order_refs(self) -> tuple[str, ...]:
        return tuple(stop.ref for stop in self.stops if stop.kind is StopKind.WORK)


@dataclass(frozen=True)
class LeftOut:
    """An order that is in no crew-day.

    breach    the rule that kept it out, in words
    crew, on  where it came closest, if anywhere
    """

    order: str
    breach: Breach
    crew: str | None
    on: date | None


@dataclass(frozen=True)
class Plan:
    """Crew-days in the order of day and crew, locked ones among them; and the orders left out."""

    days: tuple[CrewDay, ...]
    left_out: tuple[LeftOut, ...] = ()

    @cached_property
    def day_of_order(self) -> dict[str, CrewDay]:
        """The crew-day of each order that is placed."""
        return {ref: day for day in self.days for ref in day.order_refs}

    def with_day(self, new: CrewDay) -> "Plan":
        """Return the plan with one crew-day put in or changed; one without an order is dropped."""
        others = [d for d in self.days if (d.crew, d.on) != (new.crew, new.on)]
        kept = [*others, new] if new.order_refs else others
        return Plan(tuple(sorted(kept, key=lambda d: (d.on, d.crew))), self.left_out)
