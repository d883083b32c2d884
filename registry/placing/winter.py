"""What a winter put on a pavement (N31): sand and each deicer per area, and how soon it began.

A winter runs from 1 July to 30 June in the north and by the calendar year in the south, so that
no early or late fall of snow is torn off. Bags are read as a count and the weight of one.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from registry.placing.faults import NotGiven, PlacingError

SAND = "sand"


@dataclass(frozen=True)
class WinterEntry:
    """One line of the winter log.

    what   "sand", a deicer or a mix of them, as logged: "rock salt", "sand-salt mix"
    kg     None where nobody counted
    about  the amount was estimated
    """

    on: date
    what: str
    kg: float | None
    is_deicer: bool
    about: bool = False

    def __post_init__(self) -> None:
        if self.kg is not None and not (math.isfinite(self.kg) and self.kg >= 0):
            raise PlacingError(f"{self.what} on {self.on}: the amount cannot be below 0.")


@dataclass(frozen=True)
class WinterLoad:
    """One stuff of one winter.

    begins_in   year in which the winter begins
    kg_per_m2   a reason where bags were not counted
    counted_kg  what was counted, whatever is missing
    """

    begins_in: int
    what: str
    kg_per_m2: float | NotGiven
    counted_kg: float
    entries: int
    about: bool

    def lb_per_1000_ft2(self) -> float | NotGiven:
        """The same in pounds per 1 000 ft2."""
        if isinstance(self.kg_per_m2, NotGiven):
            return self.kg_per_m2
        return self.kg_per_m2 / 0.45359237 * 0.3048**2 * 1000


def bags_kg(bags: float, bag_kg: float) -> float:
    """Kilograms of so many bags. Raises PlacingError on a number below 0."""
    if not (math.isfinite(bags) and math.isfinite(bag_kg) and bags >= 0 and bag_kg > 0):
        raise PlacingError("Bags and the weight of one cannot be below 0.")
    return bags * bag_kg


def winter_loads(
    entries: Sequence[WinterEntry], area_m2: float, *, south: bool = False
) -> tuple[WinterLoad, ...]:
    """N31 by winter and stuff, oldest first, over the area of the pavement or of a zone."""
    if not (math.isfinite(area_m2) and area_m2 > 0):
        raise PlacingError("The area has to be above 0.")
    groups: dict[tuple[int, str], list[WinterEntry]] = {}
    for one in sorted(entries, key=lambda entry: entry.on):
        groups.setdefault((_winter_of(one.on, south), one.what), []).append(one)
    return tuple(_load(year, what, own, area_m2) for (year, what), own in groups.items())


def days_to_first_deicer(
    placed_on: date | None, entries: Iterable[WinterEntry], *, log_begins_on: date | None
) -> int | NotGiven:
    """Days from placing to the first deicer.

    log_begins_on  first day the log answers for; one that begins after placing cannot say
    """
    if placed_on is None:
        return NotGiven("The day of placing is not known.")
    if log_begins_on is None or log_begins_on > placed_on:
        return NotGiven("The winter log does not reach back to the placing.")
    after = [one.on for one in entries if one.is_deicer and one.on >= placed_on]
    if not after:
        return NotGiven("No deicer is logged since placing.")
    return (min(after) - placed_on).days


def _load(year: int, what: str, entries: list[WinterEntry], area_m2: float) -> WinterLoad:
    counted = math.fsum(one.kg for one in entries if one.kg is not None)
    missing = sum(1 for one in entries if one.kg is None)
    per_m2: float | NotGiven = counted / area_m2
    if missing:
        lines = "line of the log was" if missing == 1 else "lines of the log were"
        per_m2 = NotGiven(f"{what}: {missing} {lines} not counted.")
    about = any(one.about for one in entries)
    return WinterLoad(year, what, per_m2, counted, len(entries), about)


def _winter_of(on: date, south: bool) -> int:
    return on.year if south or on.month >= 7 else on.year - 1
