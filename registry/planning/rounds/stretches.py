"""Between which minutes of the axis an order may begin."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from registry.planning.rounds.axis import Segment, Team
from registry.planning.rounds.ground import Ground, dump_run_spans
from registry.planning.rounds.order import Order

MOST_CHOICES = 8  # stretches offered to the solver for one order and team, evenly spread


@dataclass(frozen=True)
class Stretch:
    """Minutes of the axis in which an order may begin, both included."""

    first: int
    last: int


def stretches_of(ground: Ground, team: Team, order: Order) -> list[Stretch]:
    """Return where on a team's days an order may begin.

    A day that is open throughout is joined to the day before, if that is open to its end.
    """
    found: list[Stretch] = []
    runs_on = False
    minutes = team.minutes[order.ref]
    for segment in team.segments:
        if ground.order_day_breach(order, segment.on) is not None:
            runs_on = False
            continue
        spans = list(begin_spans(ground, segment, order, minutes))
        whole = spans == [(segment.base, segment.base + segment.length - minutes)]
        if whole and runs_on:
            found[-1] = Stretch(found[-1].first, spans[0][1])
        elif any(ground.crew_breach(order, watch.crew) is None for watch in segment.watches):
            found += [Stretch(*span) for span in spans]
        runs_on = whole and bool(found)
    return found


def begin_spans(
    ground: Ground, segment: Segment, order: Order, minutes: int
) -> Iterator[tuple[int, int]]:
    """Yield the minutes of one segment between which an order may begin.

    A dump run ends the time on site: it begins no sooner than its place opens, and is over before
    it closes.
    """
    runs = dump_run_spans(ground, order, segment.span)
    lead = minutes - order.dump_minutes
    for opens, closes in ground.site_spans(order, segment.span):
        first, last = segment.minute_of(opens), segment.minute_of(closes) - minutes
        if runs is None:
            choices = [(first, last)]
        else:
            choices = [
                (
                    max(first, segment.minute_of(run_opens) - lead),
                    min(last, segment.minute_of(run_closes) - minutes),
                )
                for run_opens, run_closes in runs
            ]
        yield from ((a, b) for a, b in choices if a <= b)


def thinned(stretches: list[Stretch], wanted: int | None) -> list[Stretch]:
    """Return at most MOST_CHOICES of the stretches, the first and the last among them.

    wanted    a minute whose stretch is kept beside them, if there is one that holds it
    With more choices for each order the search takes longer to come as far; what it leaves out
    is tried on every day afterwards.
    """
    if len(stretches) <= MOST_CHOICES:
        return stretches
    picks = np.linspace(0, len(stretches) - 1, MOST_CHOICES).round().astype(int).tolist()
    held = [
        n for n, s in enumerate(stretches) if wanted is not None and s.first <= wanted <= s.last
    ]
    return [stretches[n] for n in sorted({*picks, *held})]
