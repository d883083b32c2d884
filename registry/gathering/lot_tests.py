"""Whether a lot passes its contract's rule, from the acceptance tests on its panels.

A test beside a spot that was below never replaces it: the lot counts each. (Common practice of
acceptance by lots: so many random tests, each at least the least rate, no source.)
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from registry.models import InfiltrationTest, Lot
from registry.models.infiltration_test import UseOfTest
from registry.units import Kind, System, show


@dataclass(frozen=True)
class LotTest:
    """One acceptance test of a lot. `is_below` is None where its bound does not decide.

    is_after_below   made on a later day than one that was below, or again in its panel
    is_drawn         its spot came from a random draw that is on record
    is_looked_at     its readings may not be used, so that it decides nothing
    """

    test: InfiltrationTest
    words: str
    is_below: bool | None
    is_early: bool
    is_after_below: bool
    is_drawn: bool
    is_looked_at: bool


@dataclass(frozen=True)
class LotResult:
    """A lot with its tests, oldest first, and what they say against the rule, in words."""

    lot: Lot
    tests: tuple[LotTest, ...]
    passes: bool | None
    words: str


def lot_results(
    lots: Iterable[Lot], tests: Sequence[InfiltrationTest], system: System
) -> list[LotResult]:
    """Return each lot with its tests. `tests` are standing acceptance tests with spot and panel."""
    return [_result(lot, [row for row in tests if _is_of(row, lot)], system) for lot in lots]


def _is_of(row: InfiltrationTest, lot: Lot) -> bool:
    panel = row.spot.panel if row.spot else None
    if row.started_on < lot.made_on:
        return False
    if lot.panels:
        return panel is not None and panel.name in lot.panels
    return True


def _result(lot: Lot, rows: Sequence[InfiltrationTest], system: System) -> LotResult:
    found: list[LotTest] = []
    for row in sorted(rows, key=lambda row: (row.started_on, row.pk)):
        found.append(
            LotTest(
                test=row,
                words=_words(row, system),
                is_below=_is_below(row, lot.least_rate_mm_h),
                is_early=_is_early(row, lot),
                is_after_below=any(_follows(row, one.test) for one in found if one.is_below),
                is_drawn=row.spot is not None and row.spot.draw_id is not None,
                is_looked_at=row.use not in (UseOfTest.TREND, UseOfTest.BOUND),
            )
        )
    passes, words = _decide(lot, found)
    return LotResult(lot, tuple(found), passes, words)


def _follows(row: InfiltrationTest, below: InfiltrationTest) -> bool:
    """Say whether a test may have been made because another was below."""
    if row.started_on > below.started_on:
        return True
    one, other = (test.spot.panel_id if test.spot else None for test in (row, below))
    return one is not None and one == other


def _is_below(row: InfiltrationTest, least: float | None) -> bool | None:
    if least is None or row.result_rate_mm_h is None:
        return None
    if row.result_sign == "<":
        return True if row.result_rate_mm_h <= least else None
    if row.result_sign == ">":
        return False if row.result_rate_mm_h >= least else None
    return bool(row.result_rate_mm_h < least)


def _is_early(row: InfiltrationTest, lot: Lot) -> bool:
    if lot.test_after_days is None:
        return False
    return (row.started_on - lot.made_on).days < lot.test_after_days


def _decide(lot: Lot, tests: Sequence[LotTest]) -> tuple[bool | None, str]:
    if lot.least_rate_mm_h is None or lot.tests_needed is None:
        return None, "Not decided: the rule’s least rate and number of tests are not filled in."
    counted = [one for one in tests if not (one.is_early or one.is_looked_at)]
    first = counted[: lot.tests_needed]
    if below := [one for one in counted if one.is_below]:
        spots = ", ".join(str(one.test.spot) for one in below)
        return False, f"Not passed: {len(below)} below the least rate ({spots})."
    if len(first) < lot.tests_needed:
        due = f"{len(first)} of {lot.tests_needed} tests are there"
        return None, f"Not decided: {due}."
    if any(one.is_below is None for one in first):
        return None, "Not decided: a test gives a bound that does not decide."
    return True, f"Passed: {lot.tests_needed} tests, none below the least rate."


def _words(row: InfiltrationTest, system: System) -> str:
    rate = "no rate"
    if row.result_rate_mm_h is not None:
        rate = show(row.result_rate_mm_h, Kind.RATE, system, sign=row.result_sign)
    return f"{row.started_on} at {row.spot}: {rate}"
