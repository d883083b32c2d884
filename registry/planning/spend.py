"""Spend and life left (N25): counts by unit prices, by year; years to the first of three ends.

Life left ends where cleaning is no longer enough, where 25 % of the panels need replacement, or on
the owner's date, whichever comes first. A range, never one number alone. Common practice, no
source.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from registry.planning.faults import PlanningError
from registry.planning.words import NotDecided, require

DAYS_A_YEAR = 365.25
PANELS_SHARE = 0.25


@dataclass(frozen=True)
class Range:
    """From low to high, both included; one number where they are the same."""

    low: float
    high: float

    def __post_init__(self) -> None:
        require(self.low, "The low end of a range")
        require(self.high, "The high end of a range")
        if self.high < self.low:
            raise PlanningError(f"A range from {self.low:g} to {self.high:g} runs backwards.")

    def plus(self, other: "Range") -> "Range":
        return Range(self.low + other.low, self.high + other.high)

    def times(self, other: "Range") -> "Range":
        return Range(self.low * other.low, self.high * other.high)


def exactly(value: float) -> Range:
    return Range(value, value)


@dataclass(frozen=True)
class UnitPrice:
    """One visit on an area: a price on the area, and a least amount; or `each`, alone."""

    each: float = 0.0
    per_m2: float = 0.0
    at_least: float = 0.0

    def of(self, area_m2: float | None) -> float | NotDecided:
        """Return the price of one. `area_m2` is used where there is a price on the area."""
        for value, what in (
            (self.each, "A price"), (self.per_m2, "A price on the area"),
            (self.at_least, "A least amount"),
        ):  # fmt: skip
            require(value, what)
        if self.per_m2 and area_m2 is None:
            return NotDecided("The area is not known, so there is no price.", ("area",))
        by_area = self.per_m2 * (area_m2 or 0.0)
        return max(self.each + by_area, self.at_least)


@dataclass(frozen=True)
class Line:
    """One kind of spending in one year, with the reason that is printed beside it."""

    year: int
    kind: str
    count: Range
    price: Range
    reason: str = ""

    @property
    def amount(self) -> Range:
        return self.count.times(self.price)


@dataclass(frozen=True)
class Spend:
    """The whole, by year and by kind, each in order of its name."""

    total: Range
    by_year: dict[int, Range]
    by_kind: dict[str, Range]


def spend_of(lines: Iterable[Line]) -> Spend:
    """Return N25, the money of it: the sums of count times unit price."""
    total = exactly(0)
    by_year: dict[int, Range] = {}
    by_kind: dict[str, Range] = {}
    for line in sorted(lines, key=lambda line: (line.year, line.kind)):
        total = total.plus(line.amount)
        by_year[line.year] = by_year.get(line.year, exactly(0)).plus(line.amount)
        by_kind[line.kind] = by_kind.get(line.kind, exactly(0)).plus(line.amount)
    return Spend(total, by_year, dict(sorted(by_kind.items())))


@dataclass(frozen=True)
class LifeLeft:
    """low, high   years
    which         the end that may come first
    not_known     the ends about which nothing is known: the true life may be shorter
    """

    low: float
    high: float
    which: str
    not_known: tuple[str, ...]

    @property
    def is_at_most(self) -> bool:
        """Whether an end not known may cut it short."""
        return bool(self.not_known)


NO_LONGER_ENOUGH = "cleaning is no longer enough"
PANELS = "a quarter of the panels needs replacement"
OWNERS_DATE = "the owner's date"


def life_left(
    as_of: date,
    *,
    no_longer_enough: Range | NotDecided,
    panels: Range | NotDecided,
    owner_ends_on: date | None,
) -> LifeLeft | NotDecided:
    """Return years to the first of the three, with bounds.

    no_longer_enough, panels  years from `as_of` (see `years_to_panels`), or why not known
    """
    ends = {NO_LONGER_ENOUGH: no_longer_enough, PANELS: panels}
    missing = tuple(name for name, years in ends.items() if isinstance(years, NotDecided))
    known = {name: years for name, years in ends.items() if isinstance(years, Range)}
    if owner_ends_on is not None:
        known[OWNERS_DATE] = exactly(max(0.0, (owner_ends_on - as_of).days / DAYS_A_YEAR))
    if not known:
        return NotDecided("None of the three ends is known.", (*missing, OWNERS_DATE))
    which = min(known, key=lambda name: known[name].low)
    return LifeLeft(known[which].low, min(end.high for end in known.values()), which, missing)


def years_to_panels(panels: int, needing: int, a_year: Range) -> Range | NotDecided:
    """Return the years until a quarter of the panels needs replacement.

    needing  panels that need it today;  a_year  more of them each year, low to high
    """
    if panels < 1 or not 0 <= needing <= panels:
        raise PlanningError("Of the panels, from none to all need replacement.")
    left = PANELS_SHARE * panels - needing
    if left <= 0:
        return exactly(0)
    if a_year.low == 0:
        return NotDecided("No panel more may need replacement in a year; there is no end in sight.")
    return Range(left / a_year.high, left / a_year.low)
