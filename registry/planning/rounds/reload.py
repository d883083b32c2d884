"""Emptying the hopper and filling the tank between two orders, as one stop of the solver.

Where a crew needs both, the load is left first and then water taken, at one place or at two with
the drive between them. pyvrp resets hopper and tank at every reload, so a crew that carries both
makes both stops each time.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from registry.planning.rounds.crew import DumpPlace, WaterPoint
from registry.planning.rounds.ground import Ground, Watch
from registry.planning.rounds.hours import Instants
from registry.planning.rounds.plan import StopKind
from registry.planning.rounds.resting import before


@dataclass(frozen=True)
class Reload:
    """One or two stops made without another between.

    places        (kind, place, minutes there) in order
    drive         minutes between the two
    begin_spans   between which instants it may begin on its day, from the opening hours
    """

    places: tuple[tuple[StopKind, str, int], ...]
    drive: int
    begin_spans: tuple[Instants, ...]

    @property
    def minutes(self) -> int:
        return self.drive + sum(place[2] for place in self.places)


def reloads_for(ground: Ground, watch: Watch, *, empties: bool, fills: bool) -> Iterator[Reload]:
    """Yield the ways in which a crew can empty, fill, or both, on one of its days."""
    dumps = ground.dumps_for(watch.crew) if empties else []
    points = ground.water_points_on(watch.on) if fills else []
    chains: list[tuple[DumpPlace | WaterPoint, ...]] = [(d, p) for d in dumps for p in points]
    if not (empties and fills):
        chains = [*((dump,) for dump in dumps), *((point,) for point in points)]
    for chain in chains:
        reload = _reload_of(ground, watch, chain)
        if reload.begin_spans:
            yield reload


def _reload_of(ground: Ground, watch: Watch, chain: tuple[DumpPlace | WaterPoint, ...]) -> Reload:
    drive = ground.problem.travel.between(chain[0].place, chain[-1].place)
    spans = list(_begins(ground, watch, chain[0]))
    if len(chain) > 1:
        # Begin so that the second stop falls into its own hours, with no wait between the two.
        lead = chain[0].minutes + drive
        later = [
            (_not_done_before(watch, opens, lead), before(closes, lead, watch.rests))
            for opens, closes in _begins(ground, watch, chain[1])
        ]
        spans = [
            (max(a, c), min(b, d)) for a, b in spans for c, d in later if max(a, c) <= min(b, d)
        ]
    kinds = [StopKind.DUMP if isinstance(place, DumpPlace) else StopKind.WATER for place in chain]
    places = tuple((k, p.place, p.minutes) for k, p in zip(kinds, chain, strict=True))
    return Reload(places, drive, tuple(spans))


def _begins(ground: Ground, watch: Watch, place: DumpPlace | WaterPoint) -> Iterator[Instants]:
    for opens, closes in ground.open_spans(place, watch.shift):
        last = before(closes, place.minutes, watch.rests)
        if opens <= last:
            yield opens, last


def _not_done_before(watch: Watch, instant: datetime, minutes: int) -> datetime:
    """Return the first instant from which work of `minutes` does not end before another."""
    return max(watch.shift[0], before(instant, minutes, watch.rests))
