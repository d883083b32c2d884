"""Of a crew-day: can this crew, with its machine, get to each pavement and do the work?"""

from collections.abc import Iterator

from registry.planning.rounds.check_found import Found
from registry.planning.rounds.crew import Crew
from registry.planning.rounds.order import Order
from registry.planning.rounds.plan import CrewDay, StopKind
from registry.planning.rounds.problem import Problem
from registry.planning.rules import Rule
from registry.units import Kind, System, show_limit, show_size

SIZES = (
    (Rule.AXLE, "axle_kg", Kind.MASS, "on the heaviest axle"),
    (Rule.HEIGHT, "height_m", Kind.LENGTH, "of height"),
    (Rule.WIDTH, "width_m", Kind.LENGTH, "of width"),
    (Rule.TURNING, "turning_m", Kind.LENGTH, "to turn"),
)


def machine_breaches(problem: Problem, day: CrewDay) -> Iterator[Found]:
    """Yield what crew and machine lack for the orders of a crew-day."""
    crew = next(crew for crew in problem.crews if crew.ref == day.crew)
    orders = {order.ref: order for order in problem.orders}
    wet_places = {dump.place for dump in problem.dumps if dump.takes_wash_water}
    for stop in day.stops:
        if stop.kind is StopKind.WORK:
            order = orders[stop.ref]
            for rule, words in (*_access(order, crew), *_work(order, crew, wet_places)):
                yield Found(rule, words, crew.ref, day.on, order.ref)
            continue
        wet = stop.kind is StopKind.DUMP and crew.machine.keeps_wash_water
        if wet and stop.ref not in wet_places:
            words = f"“{stop.ref}” takes no wash water."
            yield Found(Rule.DECANT, words, crew.ref, day.on, stop.ref)


def _access(order: Order, crew: Crew) -> Iterator[tuple[Rule, str]]:
    for rule, field, kind, what in SIZES:
        most = getattr(order.limits, field)
        has = getattr(crew.machine, field)
        if most is None:
            continue
        allowed = show_limit(most, kind, System.SI)
        if has is None:
            yield rule, f"At most {allowed} {what}; that of crew {crew.ref} is not known."
        elif has > most:
            yield rule, f"{show_size(has, kind, System.SI)} {what}, at most {allowed} allowed."


def _work(order: Order, crew: Crew, wet_places: set[str]) -> Iterator[tuple[Rule, str]]:
    needs, machine = order.needs, crew.machine
    if order.method not in machine.methods:
        yield Rule.METHOD, f"Crew {crew.ref} cannot do {order.method_words}."
    if needs.hose_m is not None and (machine.hose_m or 0) < needs.hose_m:
        yield Rule.HOSE, f"The hose must reach {needs.hose_m:g} m."
    if needs.licence and needs.licence not in crew.licences:
        yield Rule.LICENCE, f"“{needs.licence}” is asked for."
    if needs.people > crew.people:
        yield Rule.PEOPLE, f"{needs.people} people are asked for; there are {crew.people}."
    if needs.wash_water:
        if order.dump is not None and order.dump not in wet_places:
            yield Rule.DECANT, f"“{order.dump}” takes no wash water."
        if order.dump is None and not machine.keeps_wash_water:
            yield Rule.DECANT, "There is nowhere to keep the wash water."
