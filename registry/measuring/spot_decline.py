"""What one fixed spot has lost, and when it may reach the action level (N6).

symbol  meaning                                                       unit
b       median of all pairwise slopes of -ln I against time           1/year
        (Theil 1950; Sen, J. Am. Stat. Assoc. 63, 1968, 1379-1389)
I       infiltration rate                                             mm/h
t       years, days / 365.25

Loss per year 1 - exp(-b); half-life ln 2 / b; years left ln(I_last / I_act) / b. Only the same
spot, method and concrete, between the same two restorative cleanings. This is what a careful
person works out by hand; it is not fed into the model of the portfolio.
"""

import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

import numpy as np

from registry.measuring.reading import Method

DAYS_A_YEAR = 365.25
FEWEST = 3
SHORTEST_DAYS = 365  # 12 months between first and last
LEAST_SLOPE = 0.02
MOST_YEARS = 10.0
RISE_LIMIT = 3.0
A_SEASON = 3  # months
# A hair under it: a rise of just three times must not hang on which unit the rates came in.
_RISE = RISE_LIMIT * (1 - 1e-9)


@dataclass(frozen=True)
class SpotTest:
    """One usable result at the spot: a number or a bound, mm/h.

    concrete    which pour: a replaced panel is another one
    same_day    "before" or "after" a restorative cleaning of that day, "" where there was none
                or nobody knows; then it belongs to neither side
    """

    on: date
    mm_h: float
    method: Method
    sign: str = ""
    concrete: str = ""
    same_day: str = ""


@dataclass(frozen=True)
class Segment:
    """The tests that may share one line, by date, and what bounds them."""

    tests: tuple[SpotTest, ...]
    method: Method
    concrete: str
    since: date | None  # restorative cleaning before, None for none
    until: date | None  # and after

    @property
    def months(self) -> tuple[int, ...]:
        """The months of its tests, where two lie a season apart in the year; else none.

        Cold water runs slower; nothing is corrected for it, so it is said. Common practice.
        """
        months = sorted({test.on.month for test in self.tests})
        apart = (b - a for a in months for b in months if a < b)
        return tuple(months) if any(A_SEASON <= m <= 12 - A_SEASON for m in apart) else ()


@dataclass(frozen=True)
class Withheld:
    """Why a number is not given; stands where the number would."""

    code: str
    reason: str


@dataclass(frozen=True)
class Decline:
    """What a segment shows.

    slope, loss_per_year   b and 1 - exp(-b); None only with `withheld`
    sign                   "" or the sign of the slope as a bound: ">" decline at least this
    half_life_years, years_left, reaches_on (first of a month)   None where withheld
    withheld               why the slope is not given, None if it is
    no_date                why no date is given, None if it is
    two_test_loss          with two tests: the yearly loss between them, no slope
    """

    segment: Segment
    span_years: float
    slope: float | None = None
    sign: str = ""
    half_life_years: float | None = None
    years_left: float | None = None
    reaches_on: date | None = None
    withheld: Withheld | None = None
    no_date: Withheld | None = None
    two_test_loss: float | None = None

    @property
    def loss_per_year(self) -> float | None:
        return None if self.slope is None else 1 - math.exp(-self.slope)

    @property
    def time_sign(self) -> str:
        """The sign of half-life and years left: a decline of at least b is a time of at most."""
        return {"": "", ">": "<", "<": ">"}[self.sign]


def split_segments(
    tests: Sequence[SpotTest], restorative_on: Sequence[date]
) -> tuple[tuple[Segment, ...], tuple[SpotTest, ...]]:
    """The segments of one spot, oldest first, and the tests that belong to none.

    restorative_on  days of the restorative cleanings that reached this spot; ordinary sweeping
                    does not split

    A test on the day of a cleaning whose order is not known is left out.
    """
    cleaned = set(restorative_on)
    cleanings = sorted(cleaned)
    groups: dict[tuple[int, Method, str], list[SpotTest]] = {}
    left_out = []
    for test in sorted(tests, key=lambda t: t.on):
        if test.on in cleaned and test.same_day not in ("before", "after"):
            left_out.append(test)
            continue
        passed = bisect_left(cleanings, test.on)
        if test.on in cleaned and test.same_day == "after":
            passed += 1
        groups.setdefault((passed, test.method, test.concrete), []).append(test)
    segments = [
        Segment(
            tuple(group),
            method,
            concrete,
            cleanings[passed - 1] if passed else None,
            cleanings[passed] if passed < len(cleanings) else None,
        )
        for (passed, method, concrete), group in groups.items()
    ]
    return tuple(sorted(segments, key=lambda s: s.tests[0].on)), tuple(left_out)


def spot_declines(
    tests: Sequence[SpotTest], restorative_on: Sequence[date], action_mm_h: float | None
) -> tuple[Decline, ...]:
    """The decline of every segment of one spot, oldest first."""
    segments, _ = split_segments(tests, restorative_on)
    return tuple(decline_of(segment, action_mm_h) for segment in segments)


def decline_of(segment: Segment, action_mm_h: float | None) -> Decline:
    """N6 for one segment. action_mm_h, mm/h, None if the criteria are not known."""
    tests = segment.tests
    days = (tests[-1].on - tests[0].on).days
    span = days / DAYS_A_YEAR
    withheld = _why_no_slope(tests, days)
    if withheld:
        loss = _two_test_loss(tests, span)
        return Decline(segment, span, withheld=withheld, no_date=withheld, two_test_loss=loss)
    slope, sign = _median_slope(tests)
    if sign is None:
        unfixed = Withheld("bounds", "The bounds among the tests do not fix a slope.")
        return Decline(segment, span, withheld=unfixed, no_date=unfixed)
    no_date = _why_no_half_life(slope, sign)
    if no_date:
        return Decline(segment, span, slope, sign, no_date=no_date)
    half_life = math.log(2) / slope
    years, no_date = _years_left(tests[-1], slope, sign, action_mm_h)
    if years is None:
        return Decline(segment, span, slope, sign, half_life, no_date=no_date)
    reached = tests[-1].on + timedelta(days=round(years * DAYS_A_YEAR))
    return Decline(segment, span, slope, sign, half_life, years, reached.replace(day=1))


def _why_no_slope(tests: Sequence[SpotTest], days: int) -> Withheld | None:
    if len(tests) < FEWEST:
        return Withheld("too_few", f"Too few to give a date: {len(tests)} of {FEWEST} tests.")
    if days < SHORTEST_DAYS:
        return Withheld("too_short", "Under 12 months between the first and the last test.")
    for before, after in pairwise(tests):
        if after.sign != "<" and before.sign != ">" and after.mm_h >= _RISE * before.mm_h:
            return Withheld(
                "break_suspected",
                f"Between {before.on} and {after.on} the rate rose "
                f"{after.mm_h / before.mm_h:.1f} times: was it cleaned?",
            )
    return None


def _median_slope(tests: Sequence[SpotTest]) -> tuple[float, str | None]:
    """b with the sign its bounds leave it; the sign is None if they leave it open.

    With a bound standing for its true value, a pair's decline is at least as stated if the
    earlier may be higher or the later lower. The median keeps "at least" if every pair does.
    """
    first_on, last_on = tests[0].on, tests[-1].on
    earlier = {test.sign for test in tests if test.on < last_on}
    later = {test.sign for test in tests if test.on > first_on}
    at_least = "<" not in earlier and ">" not in later
    at_most = ">" not in earlier and "<" not in later
    sign = {(True, True): "", (True, False): ">", (False, True): "<"}.get((at_least, at_most))
    return float(np.median(_slopes(tests))), sign


def _slopes(tests: Sequence[SpotTest]) -> np.ndarray:
    """The decline of each pair of tests of different days, 1/year."""
    days = np.array([test.on.toordinal() for test in tests], dtype=float)
    logs = np.array([math.log(test.mm_h) for test in tests])
    found = []
    for place in range(len(tests) - 1):
        years = (days[place + 1 :] - days[place]) / DAYS_A_YEAR
        apart = years > 0
        found.append((logs[place] - logs[place + 1 :][apart]) / years[apart])
    return np.concatenate(found)


def _why_no_half_life(slope: float, sign: str) -> Withheld | None:
    if slope > LEAST_SLOPE:
        if sign == "<":
            return Withheld("bounds", "The decline is only known to be at most this.")
        return None
    if sign == ">":
        return Withheld("bounds", "The bounds among the tests do not fix a decline.")
    return Withheld("no_decline", "No decline shown; no date.")


def _years_left(
    last: SpotTest, slope: float, sign: str, action_mm_h: float | None
) -> tuple[float | None, Withheld | None]:
    if action_mm_h is None:
        return None, Withheld("criteria_unknown", "The action level is not known.")
    if last.mm_h < action_mm_h or (last.sign == "<" and last.mm_h <= action_mm_h):
        if last.sign == ">":
            return None, Withheld("straddles", "The last test is a bound on both sides of it.")
        return None, Withheld("already_below", "Already below the action level.")
    if last.sign == "<":
        return None, Withheld("straddles", "The last test is a bound above the action level.")
    years = math.log(last.mm_h / action_mm_h) / slope
    if years > MOST_YEARS:
        if sign == ">":
            return None, Withheld("bounds", "The bounds among the tests do not fix a date.")
        return None, Withheld("more_than_10", "More than 10 years.")
    return years, None


def _two_test_loss(tests: Sequence[SpotTest], span_years: float) -> float | None:
    if len(tests) != 2 or span_years <= 0 or any(t.sign for t in tests):
        return None
    return 1 - math.exp(math.log(tests[1].mm_h / tests[0].mm_h) / span_years)
