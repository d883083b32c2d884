"""Of a crew-day: does the hopper hold, and the tank last, from stop to stop?

The crew sets out with an empty hopper and a full tank.
"""

from collections.abc import Iterator

from registry.planning.rounds.check_found import Found
from registry.planning.rounds.plan import CrewDay, StopKind
from registry.planning.rounds.problem import Problem
from registry.planning.rules import Rule


def load_breaches(problem: Problem, day: CrewDay) -> Iterator[Found]:
    """Yield the stops at which the hopper runs over or the tank runs dry."""
    machine = next(crew.machine for crew in problem.crews if crew.ref == day.crew)
    orders = {order.ref: order for order in problem.orders}
    debris = poured = 0
    for stop in day.stops:
        if stop.kind is StopKind.DUMP:
            debris = 0
        elif stop.kind is StopKind.WATER:
            poured = 0
        else:
            debris += orders[stop.ref].debris_l
            poured += orders[stop.ref].water_l
            if machine.hopper_l is not None and debris > machine.hopper_l:
                words = f"{debris} L of debris in a hopper of {machine.hopper_l} L."
                yield Found(Rule.HOPPER, words, day.crew, day.on, stop.ref)
            if machine.water_l is not None and poured > machine.water_l:
                words = f"{poured} L of water out of a tank of {machine.water_l} L."
                yield Found(Rule.WATER, words, day.crew, day.on, stop.ref)
