"""Whether a lot passes its contract's rule, from the acceptance tests on its panels.

A test beside a spot that was below never replaces it: the lot counts each. (Common practice of
acceptance by lots: so many random tests, each at least the least rate, no source.)
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from registry.models import InfiltrationTest, Lot
from registry.units import Kind, System, show


@dataclass(frozen=True)
class LotTest:
    """One acceptance test of a lot. `is_below` is None where its bound does not decide."""

    test: InfiltrationTest
    words: str
    is_below: bool | None
    is_early: bool
    is_beside: bool


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
    if lot.panels:
        return panel is not None and panel.name in lot.panels
    return True


def _result(lot: Lot, rows: Sequence[InfiltrationTest], system: System) -> LotResult:
    ordered = sorted(rows, key=lambda row: (row.started_on, row.pk))
    first_below: date | None = None
    found: list[LotTest] = []
    for row in ordered:
        below = _is_below(row, lot.least_rate_mm_h)
        found.append(
            LotTest(
                test=row,
                words=_words(row, system),
                is_below=below,
                is_early=_is_early(row, lot),
                is_beside=first_below is not None and row.started_on >= first_below,
            )
        )
        if below and first_below is None:
            first_below = row.started_on
    passes, words = _decide(lot, found)
    return LotResult(lot, tuple(found), passes, words)


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
    counted = [one for one in tests if not one.is_early]
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
