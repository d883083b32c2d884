"""A round in words and as plain data: for the command, and to be carried elsewhere."""

from collections.abc import Iterator
from datetime import datetime
from zoneinfo import ZoneInfo

from registry.gathering.round_plan import RoundResult
from registry.planning.rounds.plan import CrewDay, Stop, StopKind
from registry.planning.rules import Rule

VERBS = {StopKind.WORK: "sweep", StopKind.DUMP: "empty at", StopKind.WATER: "fill at"}


def round_as_lines(result: RoundResult) -> Iterator[str]:
    """Yield a round line by line: days, stops, what was left out and why, what it costs."""
    zone = result.given.problem.zone
    for day in result.plan.days:
        yield (
            f"{day.on:%a} {day.on}, {day.crew}: leaves {_clock(day.leaves_at, zone)}, back "
            f"{_clock(day.returns_at, zone)}"
        )
        for stop in day.stops:
            span = f"{_clock(stop.begins_at, zone)}-{_clock(stop.ends_at, zone)}"
            yield f"  {span}  {VERBS[stop.kind]} {_place(result, stop)}"
    yield from left_out_lines(result)
    yield from result.given.notes
    yield cost_line(result)


def left_out_lines(result: RoundResult) -> Iterator[str]:
    """Yield each order that is on no day, with the rule that kept it out."""
    for ref, rule, words in left_out_of(result):
        yield f"Left out: {ref}. Rule: {rule.value}. {words}"


def left_out_of(result: RoundResult) -> Iterator[tuple[str, Rule, str]]:
    """Yield (order, rule, words) of all that is on no day."""
    for left in result.plan.left_out:
        yield left.order, left.breach.rule, left.breach.words
    for order, breach in result.given.not_ready:
        yield order.number, breach.rule, breach.words


def cost_line(result: RoundResult) -> str:
    """Return what the round costs, beside the nearest-due rule."""
    cost, greedy = result.objective, result.greedy
    orders = len(result.given.orders) + len(result.given.not_ready)
    return (
        f"{cost['placed']} of {orders} orders on {cost['crew_days']} crew-days, "
        f"{cost['driving_minutes']} minutes of driving; objective {cost['total']}, nearest due "
        f"{greedy['total']}."
    )


def round_as_data(result: RoundResult) -> dict[str, object]:
    """Return a round as plain data; instants by the clock of the round, with their offset."""
    zone = result.given.problem.zone
    return {
        "first_on": result.given.problem.first_on.isoformat(),
        "days": result.given.problem.days,
        "time_zone": zone.key,
        "input_digest": result.given.digest,
        "iterations": result.solved.iterations,
        "stopped_by": result.solved.stopped_by,
        "objective": result.objective,
        "nearest_due": result.greedy,
        "broken_rules": [{"rule": f.rule.name, "words": f.words} for f in result.found],
        "crew_days": [_day_as_data(result, day, zone) for day in result.plan.days],
        "left_out": [
            {"order": ref, "rule": rule.name, "asks": rule.value, "words": words}
            for ref, rule, words in left_out_of(result)
        ],
        "notes": list(result.given.notes),
    }


def _day_as_data(result: RoundResult, day: CrewDay, zone: ZoneInfo) -> dict[str, object]:
    return {
        "on": day.on.isoformat(),
        "crew": day.crew,
        "leaves_at": day.leaves_at.astimezone(zone).isoformat(),
        "returns_at": day.returns_at.astimezone(zone).isoformat(),
        "stops": [
            {
                "kind": stop.kind.value,
                "ref": stop.ref,
                "place": _place(result, stop),
                "begins_at": stop.begins_at.astimezone(zone).isoformat(),
                "ends_at": stop.ends_at.astimezone(zone).isoformat(),
            }
            for stop in day.stops
        ],
    }


def _place(result: RoundResult, stop: Stop) -> str:
    if stop.kind is not StopKind.WORK:
        return stop.ref
    order = result.given.orders[stop.ref]
    return f"{stop.ref}, {order.pavement.name}: {order.get_method_display()}"


def _clock(at: datetime, zone: ZoneInfo) -> str:
    return f"{at.astimezone(zone):%H:%M}"
