"""Why an order is in no crew-day: could it be served alone, and if so, is there room?

Served alone on every crew-day of the round in turn. If none can, the rule is that of the crew-day
that came closest: crew before day before clock. If some can, what was placed carries more risk.
"""

from collections import Counter
from dataclasses import dataclass
from datetime import date

from registry.planning.rounds.besides import breaches_of_crew, breaches_of_day, with_others
from registry.planning.rounds.crew import Crew
from registry.planning.rounds.fill_up import insertions
from registry.planning.rounds.fitting import Misfit, lay_out
from registry.planning.rounds.ground import Ground
from registry.planning.rounds.order import Order
from registry.planning.rounds.plan import LeftOut, Plan
from registry.planning.rounds.suits import crew_day_breach, no_shift
from registry.planning.rules import Breach, Rule


@dataclass(frozen=True)
class Near:
    """How far an order came on one crew-day: -1 a crew without the machine, 0 one that else cannot,
    1 not this day, 2 crew not at work, 3 a holiday, a day called off or locked, season or weather,
    4 the clock.

    broken   rules of the day that are broken, as far as they are counted
    """

    rank: int
    breach: Breach
    crew: str
    on: date | None
    minutes_over: int = 0
    broken: int = 1


def reasons(ground: Ground, plan: Plan) -> tuple[LeftOut, ...]:
    """Return each order that is in no crew-day of the plan, with the rule that kept it out."""
    left = [order for order in ground.problem.orders if order.ref not in plan.day_of_order]
    return tuple(reason(ground, plan, order) for order in left)


def reason(ground: Ground, plan: Plan, order: Order) -> LeftOut:
    """Return why one order is in no crew-day."""
    alone = why_not_alone(ground, order)
    if alone is not None:
        return alone
    misfits = [(day, watch) for day, watch in insertions(ground, plan, order)]
    missed = [(m.minutes_over, w) for m, w in misfits if isinstance(m, Misfit)]
    over, watch = min(missed, key=lambda miss: (miss[0] or 10**6, miss[1].on, miss[1].crew.ref))
    words = (
        f"No room: lower risk than what was placed. Closest is {watch.on}, crew {watch.crew.ref}"
    )
    words += f", {over} minutes over." if over else "."
    return LeftOut(order.ref, Breach(Rule.NO_ROOM, words), watch.crew.ref, watch.on)


def why_not_alone(ground: Ground, order: Order) -> LeftOut | None:
    """Return the rules that keep an order from every crew-day even alone, or None.

    The first is that of the crew-day that came closest; its words name what else is broken there.
    """
    if not ground.problem.crews:
        return LeftOut(order.ref, Breach(Rule.METHOD, "There is no crew."), None, None)
    near: list[Near] = []
    for crew in _crews_for(ground, order):
        breach = ground.crew_breach(order, crew)
        if breach is not None:
            rank = -1 if breach.rule is Rule.METHOD else 0
            near.append(Near(rank, breach, crew.ref, None))
            continue
        for on in _days_for(ground, order):
            missed = _missed_alone(ground, order, crew, on)
            if missed is None:
                return None
            near.append(missed)
    return _closest(ground, order, near)


def _crews_for(ground: Ground, order: Order) -> tuple[Crew, ...]:
    """The crews to look at: of an order pinned to one, that one alone."""
    pinned_to = order.pinned_to
    return ground.problem.crews if pinned_to is None else (ground.problem.crew_by_ref[pinned_to],)


def _days_for(ground: Ground, order: Order) -> tuple[date, ...]:
    """The days to look at: of an order pinned to a day of the round, that day alone."""
    days, pinned_on = ground.problem.calendar, order.pinned_on
    return (pinned_on,) if pinned_on is not None and pinned_on in days else days


def _missed_alone(ground: Ground, order: Order, crew: Crew, on: date) -> Near | None:
    """How near one crew-day comes to serving an order alone; None if it does."""
    breach = ground.order_day_breach(order, on)
    off = crew_day_breach(ground.problem, crew, on)
    if breach is not None and (off is None or breach.rule in (Rule.DAYS, Rule.PINNED)):
        far = breach.rule in (Rule.DAYS, Rule.PINNED)
        return Near(1 if far else 3, breach, crew.ref, on)
    watch = ground.watch_of(crew, on)
    if off is not None or watch is None:
        off = off or no_shift(crew, on)
        rank = 2 if off.rule in (Rule.WORKING_DAY, Rule.PAST) else 3
        return Near(rank, off, crew.ref, on, broken=1 + bool(breach))
    laid = lay_out(ground, watch, [order.ref])
    if isinstance(laid, Misfit):
        return Near(4, laid.breach, crew.ref, on, laid.minutes_over)
    return None


def _closest(ground: Ground, order: Order, near: list[Near]) -> LeftOut:
    """The rules of the crew-days that came closest; of several, the one met most often first."""
    furthest = max(n.rank for n in near)
    last = [n for n in near if n.rank == furthest]
    most = Counter(n.breach.rule for n in last).most_common(1)[0][0]
    best = min((n for n in last if n.breach.rule is most), key=lambda n: (n.broken, n.minutes_over))
    crew = ground.problem.crew_by_ref[best.crew]
    if best.on is None:
        others = breaches_of_crew(ground, order, crew)
    elif best.rank == 1:
        others = []  # no day of its own, whatever else holds on it
    else:
        others = breaches_of_day(ground, order, crew, best.on)
    return LeftOut(order.ref, with_others(best.breach, others), best.crew, best.on)
