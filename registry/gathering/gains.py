"""What a cleaning regained at each spot tested before and after it (N7)."""

from collections.abc import Iterable
from dataclasses import dataclass

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


DaysBySpot = dict[Spot, list[SpotDay]]


def days_by_spot(tests: Iterable[InfiltrationTest]) -> DaysBySpot:
    """Return the usable days of each spot, oldest first; worked out once for many cleanings."""
    found: DaysBySpot = {}
    for day in spot_days(t for t in tests if not t.is_void and t.double_of_id is None):
        found.setdefault(day.spot, []).append(day)
    return found


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
    others = [c for c in restorative if c.pk != cleaning.pk]
    named_before, named_after = cleaning.tests_named()
    found = []
    for spot, days in by_spot.items():
        if not _is_reached(cleaning, spot):
            continue
        there = [c for c in others if _is_reached(c, spot)]
        earlier = [d for d in days if not _is_cut_off(d, cleaning, there, after=False)]
        later = [d for d in days if not _is_cut_off(d, cleaning, there, after=True)]
        before = _named(earlier, named_before) or _last_before(earlier, cleaning)
        after = _named(later, named_after) or _first_after(later, cleaning)
        if _last_before(days, cleaning) or _first_after(days, cleaning):
            result = _gain(cleaning, before, after, _as_built(days))
            if isinstance(result, NoGain):
                result = _beyond_another(result, days, cleaning)
            found.append(GainAtSpot(spot, before, after, result))
    return tuple(found)


def _beyond_another(result: NoGain, days: list[SpotDay], cleaning: Cleaning) -> NoGain:
    """Say so where there is a test on the side that misses one, but beyond another cleaning."""
    sides = {"before_missing": _last_before, "after_missing": _first_after}
    look = sides.get(result.code)
    if look is None or look(days, cleaning) is None:
        return result
    side = result.code.removesuffix("_missing")
    return NoGain(
        "beyond_another",
        f"The test {side} it lies, or may lie, beyond another restorative cleaning of this spot.",
    )


def _is_cut_off(
    day: SpotDay, cleaning: Cleaning, others: Iterable[Cleaning], *, after: bool
) -> bool:
    """Say whether another restorative cleaning lies, or may lie, between a test and this one."""
    if after:
        return any(_may_come_before(cleaning, c) and not _lies_before(day, c) for c in others)
    return any(_may_come_before(c, cleaning) and not _lies_after(day, c) for c in others)


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
    return next((d for d in days if any(t.pk in named for t in d.tests)), None)


def _last_before(days: Iterable[SpotDay], cleaning: Cleaning) -> SpotDay | None:
    earlier = [d for d in days if _lies_before(d, cleaning)]
    return earlier[-1] if earlier else None


def _lies_before(day: SpotDay, cleaning: Cleaning) -> bool:
    if day.on != cleaning.done_on:
        return day.on < cleaning.done_on
    return _said_before(day, cleaning) is True


def _lies_after(day: SpotDay, cleaning: Cleaning) -> bool:
    if day.on != cleaning.done_on:
        return day.on > cleaning.done_on
    return _said_before(day, cleaning) is False


def _first_after(days: Iterable[SpotDay], cleaning: Cleaning) -> SpotDay | None:
    later = [d for d in days if d.on >= cleaning.done_on and not _lies_before(d, cleaning)]
    return later[0] if later else None


def _as_built(days: Iterable[SpotDay]) -> float | None:
    """Return the accepted rate of the spot, where one was tested at acceptance."""
    for day in days:
        if day.result.mm_h is not None and any(t.reason == "acceptance" for t in day.tests):
            return day.result.mm_h
    return None
