"""Of a crew-day: shift, breaks, driving, time on site, and the hours of every place it stops at.

Spans are compared as the clock on the wall shows them; how long something takes is elapsed time.
"""

from collections.abc import Iterator
from datetime import UTC, datetime, time, timedelta

from registry.planning.rounds.check_found import Found
from registry.planning.rounds.check_walls import during, gaps_left, in_a_span, on_the_wall
from registry.planning.rounds.crew import Crew, DumpPlace, WaterPoint
from registry.planning.rounds.order import Order
from registry.planning.rounds.plan import CrewDay, Stop, StopKind
from registry.planning.rounds.problem import Problem
from registry.planning.rules import Rule

Said = tuple[Rule, str]


def hour_breaches(problem: Problem, day: CrewDay) -> Iterator[Found]:
    """Yield what is wrong with the times of a crew-day."""
    crew = next(crew for crew in problem.crews if crew.ref == day.crew)
    for rule, words in _shift(problem, crew, day):
        yield Found(rule, words, crew.ref, day.on)
    for rule, words, ref in _driving(problem, crew, day):
        yield Found(rule, words, crew.ref, day.on, ref)
    orders = {order.ref: order for order in problem.orders}
    for stop in day.stops:
        if stop.kind is StopKind.WORK:
            said = _on_site(problem, crew, day, orders[stop.ref], stop)
        elif stop.kind is StopKind.DUMP:
            said = _at_dump(problem, crew, day, stop)
        else:
            said = _at_water(problem, crew, day, stop)
        for rule, words in said:
            yield Found(rule, words, crew.ref, day.on, stop.ref)


def _shift(problem: Problem, crew: Crew, day: CrewDay) -> Iterator[Said]:
    soonest = problem.not_before
    if soonest is not None and day.leaves_at < soonest:
        leaves, begins = (on_the_wall(at, problem.zone) for at in (day.leaves_at, soonest))
        yield Rule.PAST, f"Leaves {leaves:%Y-%m-%d %H:%M}; planned from {begins:%Y-%m-%d %H:%M} on."
    clocks = next((s.span for s in crew.shifts if s.weekday == day.on.weekday()), None)
    clocks = crew.special.get(day.on, clocks)
    if clocks is None:
        return  # no working day, and said so
    first = datetime.combine(day.on, clocks.begins)
    last = datetime.combine(day.on, clocks.ends)
    if last <= first:
        last += timedelta(days=1)
    leaves, returns = (on_the_wall(at, problem.zone) for at in (day.leaves_at, day.returns_at))
    if leaves < first:
        yield Rule.SHIFT, f"Leaves at {leaves:%H:%M}, the shift begins at {first:%H:%M}."
    if returns > last:
        yield Rule.SHIFT, f"Is back at {returns:%H:%M}, the shift ends at {last:%H:%M}."
    worked = _minutes(problem, crew, day, day.leaves_at, day.returns_at)
    if crew.most_work_minutes is not None and worked > crew.most_work_minutes:
        yield Rule.WORK_HOURS, f"{worked} minutes of work, at most {crew.most_work_minutes}."


def _minutes(problem: Problem, crew: Crew, day: CrewDay, begins: datetime, ends: datetime) -> int:
    """Elapsed minutes less those of breaks."""
    rested = sum(
        during(rest, on, problem.zone, begins, ends)
        for rest in crew.breaks
        for on in (day.on, day.on + timedelta(days=1))
    )
    return int((ends - begins).total_seconds() // 60) - rested


def _driving(problem: Problem, crew: Crew, day: CrewDay) -> Iterator[tuple[Rule, str, str]]:
    """Between two stops there is time to drive, and a break on the way is not driven through."""
    places = {order.ref: order.place for order in problem.orders}
    at, free_at = crew.depot, day.leaves_at
    ends = Stop(StopKind.DUMP, crew.depot, day.returns_at, day.returns_at)
    for stop in (*day.stops, ends):
        place = places[stop.ref] if stop.kind is StopKind.WORK else stop.ref
        needed = problem.travel.between(at, place)
        there = int((stop.begins_at - free_at).total_seconds() // 60)
        words = f"{needed} minutes to drive from {at} to {place}; there are {there}"
        if there < needed:
            yield Rule.TRAVEL, f"{words}.", stop.ref
        elif _minutes(problem, crew, day, free_at, stop.begins_at) < needed:
            yield Rule.BREAK, f"{words}, break included.", stop.ref
        at, free_at = place, stop.ends_at


def _lasts(problem: Problem, crew: Crew, day: CrewDay, stop: Stop, minutes: int) -> Iterator[Said]:
    """A stop takes its whole time, breaks not counted."""
    there = int((stop.ends_at - stop.begins_at).total_seconds() // 60)
    if there < minutes:
        yield Rule.SERVICE, f"{minutes} minutes of work; {there} are planned."
    elif _minutes(problem, crew, day, stop.begins_at, stop.ends_at) < minutes:
        yield Rule.BREAK, f"{minutes} minutes of work; {there} are planned, break included."


def _on_site(
    problem: Problem, crew: Crew, day: CrewDay, order: Order, stop: Stop
) -> Iterator[Said]:
    zone, service = problem.zone, order.service_by_crew.get(crew.ref, order.service_minutes)
    yield from _lasts(problem, crew, day, stop, service)
    begins, ends = on_the_wall(stop.begins_at, zone), on_the_wall(stop.ends_at, zone)
    if not in_a_span(order.windows, order.closed_on, begins, ends):
        yield Rule.WINDOW, f"{begins:%a %H:%M}-{ends:%H:%M} is outside the hours of the site."
    if order.noise is not None and gaps_left(order.noise, begins, ends):
        yield Rule.NOISE, f"{begins:%H:%M}-{ends:%H:%M}; machines may be heard {order.noise}."
    told_at = order.notice_at or problem.as_of
    if order.notice_hours and stop.begins_at < told_at + timedelta(hours=order.notice_hours):
        yield Rule.NOTICE, f"Begins sooner than {order.notice_hours} h after the notice."
    if order.needs.dry:
        yield from _dry(problem, stop, order.needs.dry_h)
    for point in (point for point in problem.water_points if point.place == order.water):
        yield from _open(problem, point, stop, Rule.WATER_HOURS)
    if order.dump is not None:
        dump = next(dump for dump in problem.dumps if dump.place == order.dump)
        yield from _dump_run(problem, crew, day, order, dump, stop)


def _dry(problem: Problem, stop: Stop, hours: float) -> Iterator[Said]:
    """Dry work keeps off a wet day, and so many hours off the end of its rain where it is known."""
    for on, known in problem.weather.items():
        begins, dry_at = (
            datetime.combine(day, time(0), tzinfo=problem.zone).astimezone(UTC)
            for day in (on, on + timedelta(days=1))
        )
        if known.rain_ends is not None:
            ends = datetime.combine(on, known.rain_ends, tzinfo=problem.zone).astimezone(UTC)
            dry_at = max(dry_at, ends + timedelta(hours=hours))
        if known.wet and stop.ends_at > begins and stop.begins_at < dry_at:
            said = f"{on_the_wall(dry_at, problem.zone):%Y-%m-%d %H:%M}"
            yield Rule.DRY_SURFACE, f"{on} is wet, and the surface is dry from {said} on."
            return


def _dump_run(
    problem: Problem, crew: Crew, day: CrewDay, order: Order, dump: DumpPlace, stop: Stop
) -> Iterator[Said]:
    """The dump run that ends the time on site begins once the place is open, and over in time."""
    begins_at = stop.ends_at - timedelta(minutes=order.dump_minutes)
    while _minutes(problem, crew, day, begins_at, stop.ends_at) < order.dump_minutes:
        begins_at -= timedelta(minutes=1)
    begins, ends = (on_the_wall(at, problem.zone) for at in (begins_at, stop.ends_at))
    if not in_a_span(dump.hours, dump.closed_on, begins, ends):
        yield Rule.DUMP_HOURS, f"“{dump.place}” is not open {begins:%a %H:%M}-{ends:%H:%M}."


def _at_dump(problem: Problem, crew: Crew, day: CrewDay, stop: Stop) -> Iterator[Said]:
    dump = next(dump for dump in problem.dumps if dump.place == stop.ref)
    yield from _lasts(problem, crew, day, stop, dump.minutes)
    yield from _open(problem, dump, stop, Rule.DUMP_HOURS)


def _at_water(problem: Problem, crew: Crew, day: CrewDay, stop: Stop) -> Iterator[Said]:
    point = next(point for point in problem.water_points if point.place == stop.ref)
    yield from _lasts(problem, crew, day, stop, point.minutes)
    yield from _open(problem, point, stop, Rule.WATER_HOURS)
    permit = point.permit
    if permit is not None and not permit.first_on <= day.on <= permit.last_on:
        yield Rule.WATER_PERMIT, f"The permit runs {permit.first_on} to {permit.last_on}."


def _open(
    problem: Problem, place: DumpPlace | WaterPoint, stop: Stop, rule: Rule
) -> Iterator[Said]:
    begins, ends = (on_the_wall(at, problem.zone) for at in (stop.begins_at, stop.ends_at))
    if not in_a_span(place.hours, place.closed_on, begins, ends):
        yield rule, f"“{place.place}” is not open {begins:%a %H:%M}-{ends:%H:%M}."
