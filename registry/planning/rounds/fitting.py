"""A crew-day laid out by the clock from a list of orders, or the rule that it breaks.

Each stop as early as it can be; trips to a dump or water point put in where hopper or tank ask for
one, the one that is done soonest. The crew leaves the depot as late as the first stop allows.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from registry.planning.rounds.crew import DumpPlace, WaterPoint
from registry.planning.rounds.drying import dry_from
from registry.planning.rounds.ground import Ground, Watch, dump_run_spans
from registry.planning.rounds.hours import Instants
from registry.planning.rounds.order import Order
from registry.planning.rounds.plan import CrewDay, Stop, StopKind
from registry.planning.rounds.problem import Problem
from registry.planning.rounds.resting import MINUTE, after, before, begin_of, minutes_between
from registry.planning.rules import Breach, Rule

DAYS_OF_WEEK = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"]


@dataclass(frozen=True)
class Misfit:
    """Why a list of orders is no crew-day: the rule, the order, and by how many minutes."""

    breach: Breach
    order: str
    minutes_over: int = 0


@dataclass(frozen=True)
class Running:
    """A crew-day so far: where the crew is, since when, what is in hopper and tank."""

    ground: Ground
    watch: Watch
    place: str
    free_at: datetime
    debris_l: int = 0
    water_l: int = 0
    stops: tuple[Stop, ...] = ()

    def travel_to(self, place: str) -> datetime:
        minutes = self.ground.problem.travel.between(self.place, place)
        return after(self.free_at, minutes, self.watch.rests)

    def with_stop(self, kind: StopKind, ref: str, place: str, times: Instants) -> "Running":
        stop = Stop(kind, ref, *times)
        return replace(self, place=place, free_at=times[1], stops=(*self.stops, stop))


def begin_day(ground: Ground, watch: Watch) -> Running:
    return Running(ground, watch, watch.crew.depot, watch.shift[0])


def add_order(so_far: Running, order: Order) -> Running | Misfit:
    """Return the crew-day with one more order at its end, or why it cannot be there."""
    machine = so_far.watch.crew.machine
    if machine.hopper_l is not None and so_far.debris_l + order.debris_l > machine.hopper_l:
        emptied = go_dump(so_far)
        if emptied is None:
            return Misfit(
                Breach(Rule.HOPPER, "No dump place can be reached while open."), order.ref
            )
        so_far = emptied
    if machine.water_l is not None and so_far.water_l + order.water_l > machine.water_l:
        filled = go_fill(so_far)
        if filled is None:
            return Misfit(
                Breach(Rule.WATER, "No water point can be reached while open."), order.ref
            )
        so_far = filled
    times = _time_on_site(so_far, order)
    if isinstance(times, Misfit):
        return times
    new = so_far.with_stop(StopKind.WORK, order.ref, order.place, times)
    new = replace(new, debris_l=so_far.debris_l + order.debris_l)
    new = replace(new, water_l=so_far.water_l + order.water_l)
    return _out_of_shift(new, order) or new


def _time_on_site(so_far: Running, order: Order) -> Instants | Misfit:
    """The first time on site that the windows and the dump run allow."""
    ground, watch = so_far.ground, so_far.watch
    arrives = so_far.travel_to(order.place)
    minutes = order.minutes_for(watch.crew.ref)
    runs = dump_run_spans(ground, order, watch.shift)
    shut = False
    for opens, closes in ground.site_spans(order, watch.shift):
        soonest = begin_of(max(arrives, opens), watch.rests)
        if runs is None:
            ends = after(soonest, minutes, watch.rests)
            if ends <= closes:
                return soonest, ends
            continue
        shut = shut or after(soonest, minutes, watch.rests) <= closes
        for run_opens, run_closes in runs:
            lead = before(run_opens, minutes - order.dump_minutes, watch.rests)
            begins = begin_of(max(soonest, lead), watch.rests)
            ends = after(begins, minutes, watch.rests)
            if ends <= min(closes, run_closes):
                return begins, ends
    return _why_no_time(so_far, order, arrives, shut=shut)


def _why_no_time(so_far: Running, order: Order, arrives: datetime, *, shut: bool) -> Misfit:
    """Say which rule leaves no time on site: notice, rain, dump, water, hours there or shift."""
    watch, problem = so_far.watch, so_far.ground.problem
    ends = after(arrives, order.minutes_for(watch.crew.ref), watch.rests)
    told_at = order.notice_ends_at(problem.as_of)
    if order.notice_hours and arrives < told_at:
        told = told_at.astimezone(problem.zone)
        said = f"Notice of {order.notice_hours} h ends {told:%Y-%m-%d %H:%M}."
        return Misfit(Breach(Rule.NOTICE, said), order.ref)
    dry_at = dry_from(max(arrives, watch.shift[0]), so_far.ground.wet_for(order))
    if dry_at is not None:
        dry = dry_at.astimezone(problem.zone)
        said = f"The surface must be dry; after the rain it is so from {dry:%Y-%m-%d %H:%M} on."
        return Misfit(Breach(Rule.DRY_SURFACE, said), order.ref)
    if shut:
        said = f"“{order.dump}” is not open when the load gets there."
        return Misfit(Breach(Rule.DUMP_HOURS, said), order.ref)
    if _is_shut_by_water(so_far, order, arrives):
        said = f"“{order.water}” is not open for the whole time on site on {watch.on}."
        return Misfit(Breach(Rule.WATER_HOURS, said), order.ref)
    spans = so_far.ground.site_spans(order, watch.shift)
    closes = spans[-1][1] if spans else watch.shift[0]
    if closes == watch.shift[1]:
        back = problem.travel.between(order.place, watch.crew.depot)
        over = int((after(ends, back, watch.rests) - closes) / MINUTE)
        return Misfit(_over_shift(watch, problem), order.ref, over)
    noisy = order.noise is not None and not so_far.ground.is_shut_by_site(order, watch.shift)
    rule = Rule.NOISE if noisy else Rule.WINDOW
    said = _hours_missed(so_far, order, spans)
    return Misfit(Breach(rule, said), order.ref, max(0, int((ends - closes) / MINUTE)))


def _is_shut_by_water(so_far: Running, order: Order, arrives: datetime) -> bool:
    """Say whether there is time on site but for the hours of the water point used in it."""
    if order.water is None:
        return False
    rests, minutes = so_far.watch.rests, order.minutes_for(so_far.watch.crew.ref)
    return any(
        after(begin_of(max(arrives, opens), rests), minutes, rests) <= closes
        for opens, closes in so_far.ground.spans_without_water(order, so_far.watch.shift)
    )


def _hours_missed(so_far: Running, order: Order, spans: tuple[Instants, ...]) -> str:
    """Say which hours the time on site does not fit into, or that the day has none."""
    zone, on, windows = so_far.ground.problem.zone, so_far.watch.on, order.windows
    week = sorted((w.weekday, str(w.span)) for w in windows if w.holds is None or on in w.holds)
    hours = ", ".join(f"{DAYS_OF_WEEK[day]} {span}" for day, span in week)
    if not spans:
        told = f": open {hours}" if hours else ""
        return f"The hours of the site leave nothing of the shift of {on:%A} {on}{told}."
    clocks = (f"{a.astimezone(zone):%H:%M}-{b.astimezone(zone):%H:%M}" for a, b in spans)
    minutes = order.minutes_for(so_far.watch.crew.ref)
    told = f"{minutes} min on site do not fit into the hours of the site within the shift of {on}"
    return f"{told}: {', '.join(clocks)}."


def _over_shift(watch: Watch, problem: Problem) -> Breach:
    said = f"Travel and time on site do not fit into the shift of {watch.on}"
    if watch.shift[0] == problem.not_before:
        begins = watch.shift[0].astimezone(problem.zone)
        said = f"{said}, of which is left what lies after {begins:%H:%M}"
    return Breach(Rule.SHIFT, f"{said}.")


def _out_of_shift(so_far: Running, order: Order) -> Misfit | None:
    """Say whether the crew could still be back in time, and within its hours of work."""
    watch = so_far.watch
    returns = so_far.travel_to(watch.crew.depot)
    if returns > watch.shift[1]:
        over = int((returns - watch.shift[1]) / MINUTE)
        return Misfit(_over_shift(watch, so_far.ground.problem), order.ref, over)
    most = watch.crew.most_work_minutes
    worked = minutes_between(_leaves_at(so_far), returns, watch.rests)
    if most is not None and worked > most:
        said = f"{worked} minutes of work on {watch.on}; crew {watch.crew.ref} may do {most}."
        return Misfit(Breach(Rule.WORK_HOURS, said), order.ref, worked - most)
    return None


def _leaves_at(so_far: Running) -> datetime:
    first, watch, problem = so_far.stops[0], so_far.watch, so_far.ground.problem
    is_work = first.kind is StopKind.WORK
    place = problem.order_by_ref[first.ref].place if is_work else first.ref
    minutes = problem.travel.between(watch.crew.depot, place)
    return max(watch.shift[0], before(first.begins_at, minutes, watch.rests))


def go_dump(so_far: Running) -> Running | None:
    """Return the crew-day with the hopper emptied at the place that is done soonest."""
    done = _soonest(so_far, so_far.ground.dumps_for(so_far.watch.crew))
    if done is None:
        return None
    place, times = done
    return replace(so_far.with_stop(StopKind.DUMP, place, place, times), debris_l=0)


def go_fill(so_far: Running) -> Running | None:
    """Return the crew-day with the tank filled at the point that is done soonest."""
    done = _soonest(so_far, so_far.ground.water_points_on(so_far.watch.on))
    if done is None:
        return None
    place, times = done
    return replace(so_far.with_stop(StopKind.WATER, place, place, times), water_l=0)


def _soonest(
    so_far: Running, places: Iterable[DumpPlace] | Iterable[WaterPoint]
) -> tuple[str, Instants] | None:
    rests, found = so_far.watch.rests, []
    for place in places:
        arrives = so_far.travel_to(place.place)
        for opens, closes in so_far.ground.open_spans(place, so_far.watch.shift):
            begins = begin_of(max(arrives, opens), rests)
            ends = after(begins, place.minutes, rests)
            if ends <= closes:
                found.append((ends, begins, place.place))
                break
    if not found:
        return None
    ends, begins, name = min(found)
    return name, (begins, ends)


def end_day(so_far: Running) -> CrewDay:
    """Return the crew-day as it stands, with the way back."""
    watch = so_far.watch
    if not so_far.stops:
        return CrewDay(watch.crew.ref, watch.on, watch.shift[0], (), watch.shift[0])
    returns = so_far.travel_to(watch.crew.depot)
    return CrewDay(watch.crew.ref, watch.on, _leaves_at(so_far), so_far.stops, returns)


def lay_out(ground: Ground, watch: Watch, refs: Iterable[str]) -> CrewDay | Misfit:
    """Return the crew-day of these orders in this order, or the first rule that is broken."""
    so_far = begin_day(ground, watch)
    for ref in refs:
        order = ground.problem.order_by_ref[ref]
        breach = ground.crew_breach(order, watch.crew) or ground.order_day_breach(order, watch.on)
        if breach is not None:
            return Misfit(breach, ref)
        added = add_order(so_far, order)
        if isinstance(added, Misfit):
            return added
        so_far = added
    return end_day(so_far)
