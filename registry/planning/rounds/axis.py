"""The one axis of whole minutes on which the solver works, and the way back to instants.

Crews that rest alike and take the same time on site form a team. Each day of a team has a segment
of the axis of its own, days in order, breaks cut out of it: while a crew rests, the axis stands
still. So a break, a shift over midnight and a change of clocks are all exact, and an order that may
be done at any hour of many days needs one window only.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime

from registry.planning.rounds.ground import Ground, Watch
from registry.planning.rounds.hours import Instants, join
from registry.planning.rounds.resting import Rests, after, begin_of, minutes_between

GAP_MINUTES = 1  # so that no window touches the segment of another day


@dataclass(frozen=True)
class Segment:
    """The minutes from `base` on that stand for one day of a team; `span` is in UTC."""

    on: date
    base: int
    span: Instants
    rests: Rests
    watches: tuple[Watch, ...]

    @property
    def length(self) -> int:
        return minutes_between(*self.span, self.rests)

    def minute_of(self, instant: datetime) -> int:
        """Return the minute of an instant within the span."""
        return self.base + minutes_between(self.span[0], instant, self.rests)

    def begin_at(self, minute: int) -> datetime:
        """Return the instant at which work that begins on a minute begins, after a break."""
        return begin_of(after(self.span[0], minute - self.base, self.rests), self.rests)

    def end_at(self, minute: int) -> datetime:
        """Return the instant at which work that ends on a minute is done, before a break."""
        if minute == self.base:
            return self.span[0]
        return after(self.span[0], minute - self.base, self.rests)


@dataclass(frozen=True, eq=False)
class Team:
    """Crews that are alike, minutes on site by order for what one of them can do, days in order."""

    crews: tuple[str, ...]
    minutes: dict[str, int]
    segments: tuple[Segment, ...]


def teams_of(ground: Ground) -> tuple[Team, ...]:
    """Return the teams of a problem, their segments one after the other on the axis."""
    alike = defaultdict(list)
    for crew in ground.problem.crews:
        minutes = tuple(order.minutes_for(crew.ref) for order in ground.free_orders)
        alike[crew.breaks, minutes].append(crew)
    teams, base = [], 0
    for crews in alike.values():
        segments = []
        for on in ground.problem.calendar:
            watches = tuple(w for w in ground.watches if w.on == on and w.crew in crews)
            if watches:
                segments.append(_segment(on, base, watches))
                base += segments[-1].length + GAP_MINUTES
        able = {
            order.ref: order.minutes_for(crews[0].ref)
            for order in ground.free_orders
            if any(ground.crew_breach(order, crew) is None for crew in crews)
        }
        teams.append(Team(tuple(crew.ref for crew in crews), able, tuple(segments)))
    return tuple(teams)


def _segment(on: date, base: int, watches: tuple[Watch, ...]) -> Segment:
    span = min(w.shift[0] for w in watches), max(w.shift[1] for w in watches)
    rests = tuple(join(rest for watch in watches for rest in watch.rests))
    return Segment(on, base, span, rests, watches)
