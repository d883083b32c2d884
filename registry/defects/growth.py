"""How a defect grows from one observation to the next (number N19).

per year = (extent2 - extent1) / years, years = days / 365.25; per winter = the same change over
the winters that lie wholly between. Only of one method, one outline rule and one unit. A smaller
extent is kept as measured and is never called healing.
"""

from calendar import monthrange
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from registry.defects.faults import CannotCompare
from registry.units import Kind, System, show, show_number

DAYS_IN_YEAR = 365.25
SMALLER = "smaller than last time, method compared; not healing"


@dataclass(frozen=True)
class Winter:
    """First month and number of whole months: December to the end of February in the north."""

    first_month: int = 12
    months: int = 3

    def beginning_in(self, year: int) -> tuple[date, date]:
        """First and last day of the winter that begins in that year."""
        later, month = divmod(self.first_month + self.months - 2, 12)
        last = date(year + later, month + 1, monthrange(year + later, month + 1)[1])
        return date(year, self.first_month, 1), last


NORTH = Winter()
SOUTH = Winter(first_month=6)


@dataclass(frozen=True)
class Sized:
    """How large a defect was on a day.

    extent         in `unit`: "m2", "m", "count" or "mm"; None where it was not measured
    method         tape, outline, count frame or eye, as a code
    outline_rule   what the outline goes round, "" where the method has none
    place_certain  False where it is not certain that it was the same place
    """

    on: date
    extent: float | None
    unit: str
    method: str
    outline_rule: str = ""
    place_certain: bool = True


@dataclass(frozen=True)
class Growth:
    """The change between two observations.

    change      later less earlier, in `unit`; None where they cannot be compared
    per_year    None where it is not given
    winters     whole winters between; per_winter None where it is not given
    reason      why no number a year is given; "" where it is
    no_winter   why no number a winter is given; "" where it is
    """

    first_on: date
    second_on: date
    unit: str
    change: float | None = None
    per_year: float | None = None
    winters: int = 0
    per_winter: float | None = None
    reason: str = ""
    no_winter: str = ""

    @property
    def is_smaller(self) -> bool:
        return self.change is not None and self.change < 0

    def words(self, system: System) -> str:
        """One line: "2023-10-03 to 2024-04-18 (198 days): +35 ft², 65 ft² a year, ..."."""
        days = (self.second_on - self.first_on).days
        lead = f"{self.first_on} to {self.second_on} ({days} days): "
        if self.change is None:
            return f"{lead}not given: {self.reason}"
        change = f"{lead}{'+' if self.change > 0 else ''}{_shown(self.change, self.unit, system)}"
        if self.per_year is None:
            return f"{change}: {self.reason}"
        yearly = f"{change}, {_shown(self.per_year, self.unit, system)} a year"
        if self.per_winter is None:
            return f"{yearly}; per winter not given: {self.no_winter}"
        return f"{yearly}, {_shown(self.per_winter, self.unit, system)} a winter"


def growth(
    observations: Sequence[Sized],
    *,
    winter: Winter = NORTH,
    repaired_on: Sequence[date] = (),
) -> tuple[Growth, ...]:
    """The change between each observation and the one before it, oldest first.

    Where the one before was of another method, that pair says why it is not given, and the
    observation is compared with the last one of its own method as well, if there is one.
    repaired_on  days of repairs: nothing is compared across one
    Raises CannotCompare on a unit that is none.
    """
    return tuple(
        _between(first, second, winter, repaired_on)
        for first, second in _pairs(sorted(observations, key=_order))
    )


def winters_between(first: date, second: date, winter: Winter = NORTH) -> int | None:
    """Whole winters between two days; None where either day lies inside a winter."""
    years = range(first.year - 1, second.year + 1)
    spans = [winter.beginning_in(year) for year in years]
    if any(start <= day <= stop for start, stop in spans for day in (first, second)):
        return None
    return sum(first < start and stop < second for start, stop in spans)


def _pairs(ordered: list[Sized]) -> Iterator[tuple[Sized, Sized]]:
    for index, second in enumerate(ordered[1:], start=1):
        before = ordered[index - 1]
        yield before, second
        if _way(before) != _way(second) or before.extent is None:
            like = [s for s in ordered[: index - 1] if _way(s) == _way(second)]
            if second.extent is not None and (sized := [s for s in like if s.extent is not None]):
                yield sized[-1], second


def _order(sized: Sized) -> tuple[date, tuple[str, str, str], float]:
    """By day; within a day so that the order of entry makes no difference."""
    return (sized.on, _way(sized), -1.0 if sized.extent is None else sized.extent)


def _way(sized: Sized) -> tuple[str, str, str]:
    return (sized.method, sized.outline_rule, sized.unit)


def _between(first: Sized, second: Sized, winter: Winter, repairs: Sequence[date]) -> Growth:
    reason = _why_not(first, second, repairs)
    if reason or first.extent is None or second.extent is None:
        return Growth(first.on, second.on, second.unit, reason=reason, no_winter=reason)
    change = second.extent - first.extent
    winters = winters_between(first.on, second.on, winter)
    if change < 0:
        return Growth(
            first.on, second.on, second.unit, change, None, winters or 0, None, SMALLER, SMALLER
        )
    per_year = change / ((second.on - first.on) / timedelta(days=DAYS_IN_YEAR))
    no_winter = {None: "a day of looking lies inside a winter", 0: "no winter between"}
    return Growth(
        first.on,
        second.on,
        second.unit,
        change,
        per_year,
        winters or 0,
        change / winters if winters else None,
        no_winter="" if winters else no_winter[winters],
    )


def _why_not(first: Sized, second: Sized, repairs: Sequence[date]) -> str:
    if first.extent is None or second.extent is None:
        return "the extent was not measured"
    if first.unit != second.unit:
        return "measured in different units"
    if first.method != second.method:
        return f"different methods, {first.method} and {second.method}"
    if first.outline_rule != second.outline_rule:
        return "outlined by different rules"
    if not (first.place_certain and second.place_certain):
        return "it is not certain that it was the same place"
    if any(first.on <= day <= second.on for day in repairs):
        return "repaired in between"
    return "both on one day" if first.on == second.on else ""


def _shown(value: float, unit: str, system: System) -> str:
    if unit == "count":
        return show_number(value, 0 if value == int(value) else 1)
    if unit == "mm":
        return show(value, Kind.SMALL_LENGTH, system)
    kinds = {"m2": Kind.AREA, "m": Kind.LENGTH}
    if unit not in kinds:
        raise CannotCompare(f"“{unit}” is not a unit of an extent.")
    digits = 1 if unit == "m2" else None
    return show(value, kinds[unit], system, digits=digits)
