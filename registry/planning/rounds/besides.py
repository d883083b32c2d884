"""What else keeps an order from the crew-day where it came closest, once the first rule is lifted.

Whoever mends the rule that is named first is to know what the next search would say.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from registry.planning.rounds.crew import Crew
from registry.planning.rounds.fitting import Misfit, add_order, begin_day
from registry.planning.rounds.ground import Ground
from registry.planning.rounds.order import Order
from registry.planning.rounds.suits import crew_breaches, crew_day_breach, order_day_breaches
from registry.planning.rules import Breach, Rule


def with_others(first: Breach, all_of_them: list[Breach]) -> Breach:
    """Return a breach whose words name the other rules too, each once."""
    named, words = {first.rule}, first.words
    for other in all_of_them:
        if other.rule not in named:
            named.add(other.rule)
            words += f" Besides, {other.rule.value}: {other.words}"
    return Breach(first.rule, words)


def breaches_of_crew(ground: Ground, order: Order, crew: Crew) -> list[Breach]:
    """Return all that keeps an order from a crew, and from its best day if it were lifted."""
    found = list(crew_breaches(ground.problem, order, crew))
    if found[0].rule is Rule.METHOD:  # another machine would come, of another size
        found = found[:1]
    days = [breaches_of_day(ground, order, crew, on) for on in ground.problem.calendar]
    return [*found, *min(days, key=len)]


def breaches_of_day(ground: Ground, order: Order, crew: Crew, on: date) -> list[Breach]:
    """Return all that keeps an order from a crew-day, whether or not the crew can do it at all."""
    problem = ground.problem
    found = list(order_day_breaches(problem, order, on))
    off = crew_day_breach(problem, crew, on)
    return [*found, off] if off is not None else [*found, *_by_the_clock(ground, order, crew, on)]


def _by_the_clock(ground: Ground, order: Order, crew: Crew, on: date) -> Iterator[Breach]:
    """Yield the rules of the hours that are broken, one after the other as each is lifted."""
    watch = ground.watch_of(crew, on)
    lifted: Order | None = order
    while watch is not None and lifted is not None:
        alone = Ground(replace(ground.problem, orders=(lifted,), locked=()))
        added = add_order(begin_day(alone, watch), lifted)
        if not isinstance(added, Misfit):
            return
        yield added.breach
        lifted = _lifted(lifted, added.breach.rule)


def _lifted(order: Order, rule: Rule) -> Order | None:
    """Return the order without what a rule of the hours asks; None where that is no one thing."""
    without: dict[Rule, dict[str, object]] = {
        Rule.NOTICE: {"notice_hours": 0},
        Rule.DRY_SURFACE: {"needs": replace(order.needs, dry=False)},
        Rule.DUMP_HOURS: {"dump": None, "dump_minutes": 0},
        Rule.WATER_HOURS: {"water": None},
        Rule.NOISE: {"noise": None},
        Rule.WINDOW: {"windows": (), "closed_on": frozenset()},
        Rule.HOPPER: {"debris_l": 0},
        Rule.WATER: {"water_l": 0},
    }
    return replace(order, **without[rule]) if rule in without else None  # type: ignore[arg-type]
