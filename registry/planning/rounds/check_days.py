"""Of a crew-day: may the crew work on this day, and may each of its orders be done on it?"""

from collections.abc import Iterator
from datetime import timedelta

from registry.planning.rounds.check_found import Found
from registry.planning.rounds.order import Order
from registry.planning.rounds.plan import CrewDay, StopKind
from registry.planning.rounds.problem import Problem
from registry.planning.rules import Rule


def day_breaches(problem: Problem, day: CrewDay) -> Iterator[Found]:
    """Yield what is wrong with the day itself and with each order on it."""
    crew = next(crew for crew in problem.crews if crew.ref == day.crew)
    if day.on in crew.holidays:
        yield Found(Rule.HOLIDAY, f"{day.on} is a holiday.", crew.ref, day.on)
    weekdays = {shift.weekday for shift in crew.shifts}
    if day.on not in crew.special and day.on.weekday() not in weekdays:
        yield Found(Rule.WORKING_DAY, f"{day.on:%A} is no working day.", crew.ref, day.on)
    if any(off == day.on and who in (None, crew.ref) for who, off in problem.called_off):
        yield Found(Rule.CALLED_OFF, f"{day.on} is called off.", crew.ref, day.on)
    if any((lock.crew, lock.on) == (day.crew, day.on) for lock in problem.locked):
        yield Found(Rule.LOCKED, f"{day.on} is locked.", crew.ref, day.on)
    for stop in day.stops:
        if stop.kind is StopKind.WORK:
            order = next(order for order in problem.orders if order.ref == stop.ref)
            for rule, words in _order_day(problem, order, day):
                yield Found(rule, words, crew.ref, day.on, order.ref)


def _order_day(problem: Problem, order: Order, day: CrewDay) -> Iterator[tuple[Rule, str]]:
    on = day.on
    if order.pinned_on is not None and order.pinned_on != on:
        yield Rule.PINNED, f"Pinned to {order.pinned_on}, planned on {on}."
    if order.pinned_to is not None and order.pinned_to != day.crew:
        yield Rule.PINNED, f"Pinned to crew {order.pinned_to}, planned for {day.crew}."
    if order.latest_on < problem.first_on:
        last = problem.first_on + timedelta(days=problem.overdue_days - 1)
        if on > last:
            yield Rule.DAYS, f"Overdue since {order.latest_on}; to be done by {last}."
    elif on < order.earliest_on or on > order.latest_on:
        yield Rule.DAYS, f"To be done from {order.earliest_on} to {order.latest_on}."
    if not problem.first_on <= on < problem.first_on + timedelta(days=problem.days):
        yield Rule.DAYS, f"{on} is no day of this round."
    if order.season and all(on < s.first_on or on > s.last_on for s in order.season):
        yield Rule.SEASON, f"{on} is out of season for {order.method_words}."
    points = [p for p in problem.water_points if p.place == order.water]
    for permit in (p.permit for p in points if p.permit is not None):
        if on < permit.first_on or on > permit.last_on:
            yield Rule.WATER_PERMIT, f"The permit runs {permit.first_on} to {permit.last_on}."
    yield from _weather(problem, order, day)


def _weather(problem: Problem, order: Order, day: CrewDay) -> Iterator[tuple[Rule, str]]:
    known = problem.weather.get(day.on)
    lowest = order.needs.lowest_c
    coldest = None if known is None else known.lowest_c
    if coldest is not None and lowest is not None and coldest < lowest:
        yield Rule.TEMPERATURE, f"{coldest:g} °C on {day.on}, at least {lowest:g} asked."
    nights = (problem.weather.get(day.on + timedelta(days=ahead)) for ahead in (0, 1))
    lows = [night.lowest_c for night in nights if night is not None and night.lowest_c is not None]
    if order.needs.no_frost and lows and min(lows) <= order.needs.frost_c:
        yield Rule.TEMPERATURE, f"Frost within 24 h of {day.on}: {min(lows):g} °C."
    days = order.needs.after_test_within_days
    if days is not None:
        for ahead in range(1, days + 1):
            then = problem.weather.get(day.on + timedelta(days=ahead))
            if then is None or not then.wet:
                return
        yield Rule.AFTER_TEST, f"It stays wet for {days} days after {day.on}."
