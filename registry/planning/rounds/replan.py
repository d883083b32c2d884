"""A plan changed by a person or by the weather, and worked out anew around what stays.

Nothing here decides: a change gives the plan as it would be and the rules it would break.
"""

from dataclasses import dataclass, replace
from datetime import date

from registry.planning.rounds.check import breaches_of
from registry.planning.rounds.faults import RoundError
from registry.planning.rounds.fill_up import tries
from registry.planning.rounds.fitting import Misfit, lay_out
from registry.planning.rounds.ground import Ground
from registry.planning.rounds.left_out import reasons
from registry.planning.rounds.objective import driving_minutes
from registry.planning.rounds.order import Order
from registry.planning.rounds.plan import CrewDay, Plan
from registry.planning.rounds.problem import Problem
from registry.planning.rounds.suits import day_breach
from registry.planning.rules import Breach, Rule


@dataclass(frozen=True)
class Moved:
    """What comes of moving an order.

    plan       as it would be; None where no crew-day can be laid out, and nothing is changed
    breaches   the rules broken, empty where the move can be made
    """

    plan: Plan | None
    breaches: tuple[Breach, ...]


def pin(problem: Problem, ref: str, *, on: date | None = None, to: str | None = None) -> Problem:
    """Return the problem with an order pinned to a day, a crew or both; to neither: set free."""
    order = _order(problem, ref)
    return with_order(problem, replace(order, pinned_on=on, pinned_to=to))


def with_order(problem: Problem, new: Order) -> Problem:
    """Return the problem with one order changed."""
    orders = tuple(new if order.ref == new.ref else order for order in problem.orders)
    return replace(problem, orders=orders)


def lock(problem: Problem, plan: Plan, on: date, crew: str | None = None) -> Problem:
    """Return the problem with a day of the plan locked as it stands, for one crew or for all.

    Raises RoundError where the plan has nothing on that day.
    """
    days = [d for d in plan.days if d.on == on and crew in (None, d.crew)]
    if not days:
        raise RoundError(f"The plan has nothing on {on} that could be locked.")
    return _with_locked(problem, days)


def unlock(problem: Problem, on: date, crew: str | None = None) -> Problem:
    """Return the problem with a day free again, for one crew or for all."""
    kept = tuple(d for d in problem.locked if d.on != on or crew not in (None, d.crew))
    return replace(problem, locked=kept)


def move(problem: Problem, plan: Plan, ref: str, *, on: date, to: str) -> Moved:
    """Return the plan with an order moved to another crew-day, and every rule that this breaks.

    The order is put where on that crew-day it costs the least driving. Raises RoundError for an
    order or crew that there is not.
    """
    order = _order(problem, ref)
    if to not in problem.crew_by_ref:
        raise RoundError(f"There is no crew “{to}”.")
    without = take_out(problem, plan, ref)
    if isinstance(without, Breach):
        return Moved(None, (without,))
    ground = Ground(problem)
    watch = ground.watch_of(problem.crew_by_ref[to], on)
    breach = day_breach(problem, order, problem.crew_by_ref[to], on)
    if watch is None or breach is not None:
        return Moved(None, () if breach is None else (breach,))
    there = next((d.order_refs for d in without.days if (d.crew, d.on) == (to, on)), ())
    laid = list(tries(ground, watch, there, ref))
    fits = [day for day in laid if isinstance(day, CrewDay)]
    if not fits:
        misfits = [day for day in laid if isinstance(day, Misfit)]
        return Moved(None, (min(misfits, key=lambda m: m.minutes_over).breach,))
    best = min(fits, key=lambda day: driving_minutes(problem, day))
    moved = without.with_day(best)
    moved = replace(moved, left_out=reasons(ground, moved))
    return Moved(moved, tuple(breaches_of(problem, moved)))


def take_out(problem: Problem, plan: Plan, ref: str) -> Plan | Breach:
    """Return the plan without an order, its crew-day laid out anew; or the lock that forbids it."""
    day = plan.day_of_order.get(ref)
    if day is None:
        return plan
    ground = Ground(problem)
    if (day.crew, day.on) in problem.locked_crew_days:
        return Breach(Rule.LOCKED, f"{day.on} is locked for crew {day.crew}.")
    crew = problem.crew_by_ref[day.crew]
    watch = ground.watch_of(crew, day.on)
    rest = [other for other in day.order_refs if other != ref]
    laid = lay_out(ground, watch, rest) if watch is not None else None
    if isinstance(laid, CrewDay):
        return plan.with_day(laid)
    # What stays keeps its times: with one stop less nothing comes later than it was.
    stops = tuple(stop for stop in day.stops if stop.ref != ref)
    return plan.with_day(replace(day, stops=stops))


def call_off(
    problem: Problem, plan: Plan, on: date, *, crew: str | None = None, done: tuple[str, ...] = ()
) -> Problem:
    """Return the problem of what is still to do after the weather called a day off.

    The round begins on that day, which takes no more work, of one crew or of all. Crew-days before
    it stay as they are, so do those of other crews that have left by now, and what is locked. Of
    the day itself the orders in `done` stay; the others go back among those to place. Raises
    RoundError for a locked day, one after the round, and an order done that was not planned on the
    day.
    """
    last_on = problem.calendar[-1]
    if on > last_on:
        raise RoundError(f"{on} is after the last day of the round, {last_on}.")
    if any(d.on == on and crew in (None, d.crew) for d in problem.locked):
        raise RoundError(f"{on} is locked; set it free before it is called off.")
    days = [day for day in plan.days if day.on == on and crew in (None, day.crew)]
    strangers = sorted(set(done).difference(*(day.order_refs for day in days)))
    if strangers:
        raise RoundError(f"Said to be done on {on}, but not planned on it: {', '.join(strangers)}.")
    soonest = problem.not_before
    kept = [
        day
        for day in plan.days
        if day.on < on
        or (day.on == on and day not in days and soonest is not None and day.leaves_at < soonest)
    ]
    for day in days:
        stops = tuple(stop for stop in day.stops if stop.ref in done)
        if stops:
            kept.append(replace(day, stops=stops, returns_at=stops[-1].ends_at))
    first_on = max(on, problem.first_on)
    rest = replace(
        problem,
        first_on=first_on,
        days=(last_on - first_on).days + 1,
        called_off=frozenset({*problem.called_off, (crew, on)}),
    )
    return _with_locked(rest, kept)


def _with_locked(problem: Problem, days: list[CrewDay]) -> Problem:
    held = {(day.crew, day.on) for day in days}
    others = [day for day in problem.locked if (day.crew, day.on) not in held]
    return replace(problem, locked=tuple(sorted((*others, *days), key=lambda d: (d.on, d.crew))))


def _order(problem: Problem, ref: str) -> Order:
    if ref not in problem.order_by_ref:
        raise RoundError(f"There is no order {ref} in this round.")
    return problem.order_by_ref[ref]
