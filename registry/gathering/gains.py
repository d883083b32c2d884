"""What a cleaning regained at each spot tested before and after it (N7)."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from itertools import takewhile

from registry.gathering.readings import rain_within_24_h
from registry.gathering.spot_days import SpotDay, spot_days
from registry.measuring.cleaning_gain import Gain, NoGain, Side, cleaning_gain
from registry.models import Cleaning, InfiltrationTest, Spot


@dataclass(frozen=True)
class GainAtSpot:
    """One spot's before, after and gain; `result` is NoGain with the reason where none is given."""

    spot: Spot
    before: SpotDay | None
    after: SpotDay | None
    result: Gain | NoGain


@dataclass(frozen=True)
class DaysOfSpot:
    """The usable days of a spot, oldest first, and its accepted rate (mm/h), if it has one."""

    days: tuple[SpotDay, ...]
    as_built_mm_h: float | None

    @cached_property
    def dates(self) -> list[date]:
        """Return the date of each day; looked through for every cleaning of the pavement."""
        return [day.on for day in self.days]

    def until(self, day: date) -> tuple[SpotDay, ...]:
        """Return the days up to one, that day included."""
        return self.days[: bisect_right(self.dates, day)]

    def before(self, day: date) -> tuple[SpotDay, ...]:
        """Return the days before one."""
        return self.days[: bisect_left(self.dates, day)]

    def on(self, day: date) -> tuple[SpotDay, ...]:
        """Return what lies on a day: by two methods, or on either side of a cleaning."""
        first = bisect_left(self.dates, day)
        return self.days[first : bisect_right(self.dates, day, first)]

    def after(self, day: date) -> tuple[SpotDay, ...]:
        """Return the days after one."""
        return self.days[bisect_right(self.dates, day) :]

    def since(self, day: date) -> tuple[SpotDay, ...]:
        """Return the days from one on, that day included."""
        return self.days[bisect_left(self.dates, day) :]


DaysBySpot = dict[Spot, DaysOfSpot]


def days_by_spot(tests: Iterable[InfiltrationTest]) -> DaysBySpot:
    """Return the usable days of each spot; worked out once for many cleanings."""
    return in_spots(spot_days(t for t in tests if not t.is_void and t.double_of_id is None))


def in_spots(days: Iterable[SpotDay]) -> DaysBySpot:
    """Return usable days, given oldest first, by their spot."""
    found: dict[Spot, list[SpotDay]] = {}
    for day in days:
        found.setdefault(day.spot, []).append(day)
    return {spot: DaysOfSpot(tuple(days), _as_built(days)) for spot, days in found.items()}


def gains_of(
    cleaning: Cleaning, tests: Iterable[InfiltrationTest], restorative: Iterable[Cleaning]
) -> tuple[GainAtSpot, ...]:
    """Return the gain at every spot that a cleaning reached, as `gains_among` does."""
    return gains_among(cleaning, days_by_spot(tests), restorative)


def gains_among(
    cleaning: Cleaning, by_spot: DaysBySpot, restorative: Iterable[Cleaning]
) -> tuple[GainAtSpot, ...]:
    """Return the gain at every spot that a cleaning reached, with a usable test on either side.

    Tests named with the cleaning count first; else the last usable day before it and the first
    from it on. A spot in a panel that was missed, or that had ended by then, has no gain.
    `restorative` are the pavement's restorative cleanings: a test from beyond another one that
    reached the spot tells what that one regained, and stands in no gain of this.
    """
    if not cleaning.is_cleaning:
        return ()
    others = sorted((c for c in restorative if c.pk != cleaning.pk), key=lambda c: c.done_on)
    earlier = [c for c in reversed(others) if _may_come_before(c, cleaning)]
    later = [c for c in others if _may_come_before(cleaning, c)]
    found = []
    for spot, there in by_spot.items():
        if not _is_reached(cleaning, spot):
            continue
        last, first = _last_before(there, cleaning), _first_after(there, cleaning)
        if last or first:
            before = _before(there, cleaning, _nearest(earlier, spot), last)
            after = _after(there, cleaning, _nearest(later, spot), first)
            result = _gain(cleaning, before, after, there.as_built_mm_h)
            if isinstance(result, NoGain):
                result = _beyond_another(result, there, cleaning)
            found.append(GainAtSpot(spot, before, after, result))
    return tuple(found)


def _nearest(cleanings: Iterable[Cleaning], spot: Spot) -> list[Cleaning]:
    """Return those of the nearest day that reached a spot; what lies beyond them they cut off."""
    there = (c for c in cleanings if _is_reached(c, spot))
    first = next(there, None)
    if first is None:
        return []
    return [first, *takewhile(lambda c: c.done_on == first.done_on, there)]


def _before(
    there: DaysOfSpot, cleaning: Cleaning, bounds: list[Cleaning], last: SpotDay | None
) -> SpotDay | None:
    """Return the test before a cleaning, not from beyond a bound: one named, else the last.

    last  the last before the cleaning, wherever the bounds lie; mostly that tells enough
    """
    named, kept = cleaning.tests_named()[0], there
    if not named and (last is None or not bounds or last.on > bounds[0].done_on):
        return last
    if bounds:
        here, later = there.on(bounds[0].done_on), there.after(bounds[0].done_on)
        after = tuple(d for d in here if all(_lies_after(d, c) for c in bounds))
        kept = DaysOfSpot(after + later, None)
    return _named(kept.days, named) or _last_before(kept, cleaning)


def _after(
    there: DaysOfSpot, cleaning: Cleaning, bounds: list[Cleaning], first: SpotDay | None
) -> SpotDay | None:
    """Return the test after a cleaning, not from beyond a bound: one named, else the first.

    first  the first after the cleaning, as `last` in `_before`
    """
    named, kept = cleaning.tests_named()[1], there
    if not named and (first is None or not bounds or first.on < bounds[0].done_on):
        return first
    if bounds:
        earlier, here = there.before(bounds[0].done_on), there.on(bounds[0].done_on)
        before = tuple(d for d in here if all(_lies_before(d, c) for c in bounds))
        kept = DaysOfSpot(earlier + before, None)
    return _named(kept.days, named) or _first_after(kept, cleaning)


def _beyond_another(result: NoGain, there: DaysOfSpot, cleaning: Cleaning) -> NoGain:
    """Say so where there is a test on the side that misses one, but beyond another cleaning."""
    sides = {"before_missing": _last_before, "after_missing": _first_after}
    look = sides.get(result.code)
    if look is None or look(there, cleaning) is None:
        return result
    side = result.code.removesuffix("_missing")
    return NoGain(
        "beyond_another",
        f"The test {side} it lies, or may lie, beyond another restorative cleaning of this spot.",
    )


def _may_come_before(one: Cleaning, other: Cleaning) -> bool:
    """Say whether a cleaning came, or may have come, before another; one day needs two clocks."""
    if one.done_on != other.done_on:
        return one.done_on < other.done_on
    if one.started_at is None or other.started_at is None:
        return True
    return one.started_at < other.started_at


def _is_reached(cleaning: Cleaning, spot: Spot) -> bool:
    """Say whether a cleaning went over a spot; where no panel is listed it is taken to have."""
    if spot.ended_on is not None and spot.ended_on <= cleaning.done_on:
        return False
    if cleaning.covers_all or spot.panel_id is None:
        return True
    covered, missed = cleaning.panels_told()
    return spot.panel_id not in missed and (not covered or spot.panel_id in covered)


def _gain(
    cleaning: Cleaning, before: SpotDay | None, after: SpotDay | None, as_built: float | None
) -> Gain | NoGain:
    return cleaning_gain(
        _side(before),
        _side(after),
        cleaning.done_on,
        order_known=all(_order_known(d, cleaning) for d in (before, after) if d),
        as_built_mm_h=as_built,
    )


def _side(day: SpotDay | None) -> Side | None:
    if day is None:
        return None
    mm_h, sign = day.values[0]
    answers = [rain_within_24_h(t) for t in day.tests]
    dry = None if None in answers else not any(answers)
    return Side(on=day.on, mm_h=mm_h, method=day.method, sign=sign, dry=dry)


def _order_known(day: SpotDay, cleaning: Cleaning) -> bool:
    return day.on != cleaning.done_on or _said_before(day, cleaning) is not None


def _said_before(day: SpotDay, cleaning: Cleaning) -> bool | None:
    """Say whether a test came before a cleaning of its own day; None where nothing tells.

    What the test's reason or the cleaning says decides, then the two clocks. A cleaning at the
    very instant of a test came after it.
    """
    reasons = {t.reason for t in day.tests}
    told = {t.pk for t in day.tests}
    before, after = cleaning.tests_named()
    if "before_cleaning" in reasons or told & before:
        return True
    if "after_cleaning" in reasons or told & after:
        return False
    if day.at is None or cleaning.started_at is None:
        return None
    return day.at <= cleaning.started_at


def _named(days: Iterable[SpotDay], named: frozenset[int]) -> SpotDay | None:
    if not named:
        return None
    return next((d for d in days if any(t.pk in named for t in d.tests)), None)


def _last_before(there: DaysOfSpot, cleaning: Cleaning) -> SpotDay | None:
    days = reversed(there.until(cleaning.done_on))
    return next((d for d in days if _lies_before(d, cleaning)), None)


def _lies_before(day: SpotDay, cleaning: Cleaning) -> bool:
    if day.on != cleaning.done_on:
        return day.on < cleaning.done_on
    return _said_before(day, cleaning) is True


def _lies_after(day: SpotDay, cleaning: Cleaning) -> bool:
    if day.on != cleaning.done_on:
        return day.on > cleaning.done_on
    return _said_before(day, cleaning) is False


def _first_after(there: DaysOfSpot, cleaning: Cleaning) -> SpotDay | None:
    days = there.since(cleaning.done_on)
    return next((d for d in days if not _lies_before(d, cleaning)), None)


def _as_built(days: Iterable[SpotDay]) -> float | None:
    """Return the accepted rate of the spot, where one was tested at acceptance."""
    for day in days:
        if day.result.mm_h is not None and any(t.reason == "acceptance" for t in day.tests):
            return day.result.mm_h
    return None
