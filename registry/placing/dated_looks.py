"""What the dated raveled shares of one panel say by themselves: when it began, and how it grew.

Only what lies between two looks can be said: where nobody looked, the answer stays open.
Raveling counts as there from `begun` of the panel's area, as grown by `jump` of it (house rules,
no source; a term of the contract wins).
"""

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from registry.defects import NORTH, Winter
from registry.placing.faults import PlacingError

EARLY_DAYS = 122  # 4 months: by then raveling from drying out has mostly run its course
BEGUN = 0.05
JUMP = 0.05


@dataclass(frozen=True)
class Look:
    """Raveled share of a panel's area, 0 to 1, on a day, by one method of grading."""

    on: date
    raveled: float
    method: str

    def __post_init__(self) -> None:
        if not 0 <= self.raveled <= 1:
            raise PlacingError("A raveled share is 0 to 100 % of the panel.")


@dataclass(frozen=True)
class Answer:
    """True, False or None for "the record does not say", and why, with dates and figures."""

    found: bool | None
    why: str


def in_order(looks: Sequence[Look]) -> tuple[Look, ...]:
    """Oldest first. Raises PlacingError where one panel was graded by several methods."""
    if len({look.method for look in looks}) > 1:
        raise PlacingError("Graded by different methods: they cannot be compared.")
    return tuple(sorted(looks, key=lambda look: look.on))


def starts_early(placed_on: date | None, looks: Sequence[Look], begun: float = BEGUN) -> Answer:
    """Whether it began under 4 months after placing and then levelled."""
    if placed_on is None or not looks:
        return Answer(None, "There is no dated look, or no day of placing.")
    ordered = in_order(looks)
    until = placed_on + timedelta(days=EARLY_DAYS)
    first = next((look for look in ordered if look.raveled >= begun), None)
    if first is None:
        return Answer(None, f"Never {_percent(begun)} or more: {_listed(ordered)}.")
    if first.on > until:
        before = [look for look in ordered if look.on < first.on]
        if before and before[-1].on >= until:
            return Answer(False, f"Not yet there after 4 months: {_listed((before[-1], first))}.")
        return Answer(None, f"Nobody looked about 4 months after placing: {_listed(ordered)}.")
    last = ordered[-1]
    if last.on <= until:
        return Answer(None, f"There early, and nobody has looked since: {_listed(ordered)}.")
    levelled = _gain((first, last)) < first.raveled / 2
    word = "then levelled" if levelled else "but went on growing"
    days = (first.on - placed_on).days
    return Answer(levelled, f"There {days} days after placing, {word}: {_listed(ordered)}.")


def jumps_in_winter(looks: Sequence[Look], *, winter: Winter = NORTH, jump: float = JUMP) -> Answer:
    """Whether it gained `jump` or more between the looks around any winter."""
    around = [pair for pair in itertools.pairwise(in_order(looks)) if _winters(pair, winter)]
    if not around:
        return Answer(None, "No two looks lie around a winter.")
    largest = max(around, key=_gain)
    found = _gain(largest) >= jump
    return Answer(found, f"{_points(_gain(largest))} over a winter: {_listed(largest)}.")


def grows_all_year(looks: Sequence[Look], *, winter: Winter = NORTH, jump: float = JUMP) -> Answer:
    """Whether it gained `jump` or more between every two looks, with and without a winter."""
    pairs = list(itertools.pairwise(in_order(looks)))
    wintry = [pair for pair in pairs if _winters(pair, winter)]
    mild = [pair for pair in pairs if not _touches_winter(pair, winter)]
    if not wintry or not mild:
        return Answer(None, "There are no two looks with, and two without, a winter between.")
    least = min((*wintry, *mild), key=_gain)
    return Answer(_gain(least) >= jump, f"Least gain {_points(_gain(least))}: {_listed(least)}.")


def _winters(pair: tuple[Look, Look], winter: Winter) -> int:
    """Whole winters between two looks."""
    return sum(
        1 for first, last in _near(pair, winter) if pair[0].on <= first and last <= pair[1].on
    )


def _touches_winter(pair: tuple[Look, Look], winter: Winter) -> bool:
    return any(first <= pair[1].on and pair[0].on <= last for first, last in _near(pair, winter))


def _near(pair: tuple[Look, Look], winter: Winter) -> Iterator[tuple[date, date]]:
    for year in range(pair[0].on.year - 1, pair[1].on.year + 1):
        yield winter.beginning_in(year)


def _gain(pair: tuple[Look, Look]) -> float:
    return round(pair[1].raveled - pair[0].raveled, 9)


def _percent(share: float) -> str:
    return f"{100 * share:.3g} %"


def _points(gain: float) -> str:
    return f"{100 * gain:+.3g} points"


def _listed(looks: Sequence[Look]) -> str:
    return ", ".join(f"{_percent(look.raveled)} on {look.on}" for look in looks)
