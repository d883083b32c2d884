"""What of a round is asked for again and again, worked out once: shifts, breaks, open hours."""

from dataclasses import dataclass
from datetime import date
from functools import cached_property

from registry.planning.rounds.crew import Crew, DumpPlace, WaterPoint
from registry.planning.rounds.drying import dry_within, wet_spans
from registry.planning.rounds.hours import ClockSpan, Instants, WeekSpan, clip, meet, open_spans
from registry.planning.rounds.order import Order
from registry.planning.rounds.problem import Problem
from registry.planning.rounds.resting import Rests, left_of, rests_of, shift_of
from registry.planning.rounds.suits import crew_breach, crew_day_breach, order_day_breach
from registry.planning.rules import Breach

EVERY_DAY = range(7)


@dataclass(frozen=True)
class Watch:
    """One crew-day on which work may be done: its shift and breaks in UTC."""

    crew: Crew
    on: date
    shift: Instants
    rests: Rests


class Ground:
    """A problem with the answers that its days and hours give, each worked out once."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self._crew_breaches: dict[tuple[str, str], Breach | None] = {}
        self._day_breaches: dict[tuple[str, date], Breach | None] = {}
        self._spans: dict[tuple[str, Instants], tuple[Instants, ...]] = {}
        self._wet: dict[float, tuple[Instants, ...]] = {}
        self._open: dict[tuple[str, Instants], tuple[Instants, ...]] = {}

    @cached_property
    def watches(self) -> tuple[Watch, ...]:
        """The crew-days that may be filled, in order of day and crew as given."""
        problem = self.problem
        return tuple(
            watch
            for on in problem.calendar
            for crew in problem.crews
            if crew_day_breach(problem, crew, on) is None
            and (watch := self.watch_of(crew, on)) is not None
        )

    @cached_property
    def free_orders(self) -> tuple[Order, ...]:
        """The orders that no locked day holds."""
        return tuple(o for o in self.problem.orders if o.ref not in self.problem.locked_refs)

    def wet_for(self, order: Order) -> tuple[Instants, ...]:
        """Return when the surface is not dry for an order; never where it may be wet."""
        if not order.needs.dry:
            return ()
        hours = order.needs.dry_h
        if hours not in self._wet:
            self._wet[hours] = wet_spans(self.problem.weather, self.problem.zone, hours)
        return self._wet[hours]

    def watch_of(self, crew: Crew, on: date) -> Watch | None:
        """Return the crew-day of what is left of a shift, or None; whether it may is not asked."""
        whole = shift_of(crew, on, self.problem.zone)
        shift = whole and left_of(whole, self.problem.not_before)
        if shift is None:
            return None
        return Watch(crew, on, shift, rests_of(crew, on, shift, self.problem.zone))

    def crew_breach(self, order: Order, crew: Crew) -> Breach | None:
        key = order.ref, crew.ref
        if key not in self._crew_breaches:
            self._crew_breaches[key] = crew_breach(self.problem, order, crew)
        return self._crew_breaches[key]

    def order_day_breach(self, order: Order, on: date) -> Breach | None:
        key = order.ref, on
        if key not in self._day_breaches:
            self._day_breaches[key] = order_day_breach(self.problem, order, on)
        return self._day_breaches[key]

    def suits(self, order: Order, watch: Watch) -> bool:
        """Say whether nothing but the clock can keep the order from this crew-day."""
        return not (self.crew_breach(order, watch.crew) or self.order_day_breach(order, watch.on))

    def site_spans(self, order: Order, within: Instants) -> tuple[Instants, ...]:
        """Return when work on site may go on in a shift: noise, notice, water, drying looked at."""
        key = order.ref, within
        if key not in self._spans:
            spans = self.spans_without_water(order, within)
            if order.water is not None:
                point = self.problem.water_by_place[order.water]
                spans = meet(spans, self.open_spans(point, within))
            self._spans[key] = spans
        return self._spans[key]

    def spans_without_water(self, order: Order, within: Instants) -> tuple[Instants, ...]:
        """Return what `site_spans` does, whether or not the water point is open."""
        spans = self._site_hours(order, within)
        if order.noise is not None:
            spans = meet(spans, self._noise_hours(order.noise, within))
        if wet := self.wet_for(order):
            spans = meet(spans, dry_within(within, wet))
        if order.notice_hours:
            told_at = order.notice_ends_at(self.problem.as_of)
            spans = clip(spans, (told_at, within[1])) if told_at < within[1] else ()
        return spans

    def is_shut_by_site(self, order: Order, within: Instants) -> bool:
        """Say whether the site's own hours, noise left aside, end before the shift does."""
        spans = self._site_hours(order, within)
        return not spans or spans[-1][1] < within[1]

    def _site_hours(self, order: Order, within: Instants) -> tuple[Instants, ...]:
        return open_spans(order.windows, order.closed_on, within, self.problem.zone)

    def _noise_hours(self, noise: ClockSpan, within: Instants) -> tuple[Instants, ...]:
        hours = tuple(WeekSpan(day, noise) for day in EVERY_DAY)
        return open_spans(hours, frozenset(), within, self.problem.zone)

    def open_spans(self, place: DumpPlace | WaterPoint, within: Instants) -> tuple[Instants, ...]:
        """Return when a dump place or water point is open in a shift."""
        key = place.place, within
        if key not in self._open:
            zone = self.problem.zone
            self._open[key] = open_spans(place.hours, place.closed_on, within, zone)
        return self._open[key]

    def dumps_for(self, crew: Crew) -> list[DumpPlace]:
        """Return the dump places that take what this crew brings."""
        wet = crew.machine.keeps_wash_water
        return [dump for dump in self.problem.dumps if dump.takes_wash_water or not wet]

    def water_points_on(self, on: date) -> list[WaterPoint]:
        """Return the water points whose permit, where one is needed, holds on a day."""
        return [p for p in self.problem.water_points if p.permit is None or on in p.permit]


def dump_run_spans(ground: Ground, order: Order, within: Instants) -> tuple[Instants, ...] | None:
    """Return the open hours of the dump run that ends the time on site; None without one."""
    if order.dump is None:
        return None
    return ground.open_spans(ground.problem.dump_by_place[order.dump], within)
