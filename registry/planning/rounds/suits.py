"""What keeps an order from a crew or a day, before any clock is looked at.

Each question gives the first rule that is broken, with words, or None.
"""

from collections.abc import Iterator
from datetime import date, timedelta

from registry.planning.rounds.crew import Crew
from registry.planning.rounds.drying import is_never_dry, wet_spans
from registry.planning.rounds.order import Order
from registry.planning.rounds.problem import DayWeather, Problem
from registry.planning.rounds.resting import left_of, shift_of
from registry.planning.rules import Breach, Rule
from registry.planning.sizes import size_breaches

NOTHING_KNOWN = DayWeather()


def crew_breach(problem: Problem, order: Order, crew: Crew) -> Breach | None:
    """Return why this crew can never do this order, or None if it can."""
    return next(crew_breaches(problem, order, crew), None)


def crew_breaches(problem: Problem, order: Order, crew: Crew) -> Iterator[Breach]:
    """Yield every rule that keeps this order from this crew on any day."""
    machine, needs, limits = crew.machine, order.needs, order.limits
    if order.pinned_to not in (None, crew.ref):
        yield Breach(Rule.PINNED, f"The order is pinned to crew {order.pinned_to}.")
    if order.method not in machine.methods:
        yield Breach(Rule.METHOD, f"Crew {crew.ref} has no machine for {order.method_words}.")
    yield from size_breaches(machine, limits, f"crew {crew.ref}")
    if needs.hose_m is not None and (machine.hose_m is None or machine.hose_m < needs.hose_m):
        yield Breach(
            Rule.HOSE, f"A hose of {needs.hose_m:g} m is needed, crew {crew.ref} has less."
        )
    if needs.licence is not None and needs.licence not in crew.licences:
        yield Breach(Rule.LICENCE, f"Nobody in crew {crew.ref} holds “{needs.licence}”.")
    if crew.people < needs.people:
        yield Breach(Rule.PEOPLE, f"{needs.people} people are needed, crew {crew.ref} has fewer.")
    yield from _load_breaches(problem, order, crew)


def _load_breaches(problem: Problem, order: Order, crew: Crew) -> Iterator[Breach]:
    machine = crew.machine
    if machine.hopper_l is not None and order.debris_l > machine.hopper_l:
        yield Breach(
            Rule.HOPPER, f"{order.debris_l} L of debris; the hopper holds {machine.hopper_l} L."
        )
    if machine.water_l is not None and order.water_l > machine.water_l:
        yield Breach(Rule.WATER, f"{order.water_l} L of water; the tank holds {machine.water_l} L.")
    wet = order.needs.wash_water and order.dump is not None
    if wet and not problem.dump_by_place[str(order.dump)].takes_wash_water:
        yield Breach(Rule.DECANT, f"“{order.dump}” takes no wash water.")
    if order.needs.wash_water and order.dump is None and not machine.keeps_wash_water:
        yield Breach(Rule.DECANT, f"Crew {crew.ref} has nowhere to keep the wash water.")


def day_breach(problem: Problem, order: Order, crew: Crew, on: date) -> Breach | None:
    """Return why this crew cannot do this order on this day, whatever the hour."""
    return crew_day_breach(problem, crew, on) or order_day_breach(problem, order, on)


def crew_day_breach(problem: Problem, crew: Crew, on: date) -> Breach | None:
    """Return why this crew does not go out on this day, or None if it may."""
    if on in crew.holidays:
        return Breach(Rule.HOLIDAY, f"{on} is a holiday of crew {crew.ref}.")
    if crew.shift_on(on) is None:
        return no_shift(crew, on)
    shift = shift_of(crew, on, problem.zone)
    if shift is not None and left_of(shift, problem.not_before) is None:
        return Breach(Rule.PAST, f"The shift of crew {crew.ref} on {on} is over.")
    if problem.is_called_off(crew.ref, on):
        return Breach(Rule.CALLED_OFF, f"{on} is called off for crew {crew.ref}.")
    if (crew.ref, on) in problem.locked_crew_days:
        return Breach(Rule.LOCKED, f"{on} is locked for crew {crew.ref}.")
    return None


def _frost_breaches(problem: Problem, on: date, frost_c: float) -> Iterator[Breach]:
    """The first of a day and the one after it that is known to freeze."""
    for day in (on, on + timedelta(days=1)):
        coldest = problem.weather.get(day, NOTHING_KNOWN).lowest_c
        if coldest is not None and coldest <= frost_c:
            said = f"No frost within 24 h; {day} goes down to {coldest:g} °C."
            yield Breach(Rule.TEMPERATURE, said)
            return


def no_shift(crew: Crew, on: date) -> Breach:
    return Breach(Rule.WORKING_DAY, f"Crew {crew.ref} does not work on {on:%A} {on}.")


def order_day_breach(problem: Problem, order: Order, on: date) -> Breach | None:
    """Return why this order cannot be done on this day, whoever does it."""
    return next(order_day_breaches(problem, order, on), None)


def order_day_breaches(problem: Problem, order: Order, on: date) -> Iterator[Breach]:
    """Yield every rule that keeps this order from this day, whoever does it."""
    first_on, last_on = problem.span_of(order)
    needs, weather = order.needs, problem.weather.get(on, NOTHING_KNOWN)
    if order.pinned_on not in (None, on):
        yield Breach(Rule.PINNED, f"The order is pinned to {order.pinned_on}.")
    if not first_on <= on <= last_on:
        yield Breach(Rule.DAYS, f"To be done from {first_on} to {last_on}.")
    if order.season and not any(on in span for span in order.season):
        yield Breach(Rule.SEASON, f"{on} is out of season for {order.method_words}.")
    wet = wet_spans(problem.weather, problem.zone, needs.dry_h) if needs.dry else ()
    if needs.dry and is_never_dry(on, wet, problem.zone):
        wait = f"{needs.dry_h:g} h after the rain are not over on {on}"
        said = f"{on} is wet" if weather.wet else wait
        yield Breach(Rule.DRY_SURFACE, f"The surface must be dry; {said}.")
    point = None if order.water is None else problem.water_by_place[order.water]
    if point is not None and point.permit is not None and on not in point.permit:
        span = f"{point.permit.first_on} to {point.permit.last_on}"
        yield Breach(Rule.WATER_PERMIT, f"The permit of “{point.place}” runs {span}.")
    coldest = weather.lowest_c
    if needs.lowest_c is not None and coldest is not None and coldest < needs.lowest_c:
        yield Breach(
            Rule.TEMPERATURE, f"Not below {needs.lowest_c:g} °C; {on} goes down to {coldest:g} °C."
        )
    if needs.no_frost:
        yield from _frost_breaches(problem, on, needs.frost_c)
    within = needs.after_test_within_days
    if within is not None:
        days = [problem.weather.get(on + timedelta(days=n + 1)) for n in range(within)]
        if all(day is not None and day.wet for day in days):
            yield Breach(
                Rule.AFTER_TEST, f"No dry day for the after-test within {within} days of {on}."
            )
