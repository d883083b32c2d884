"""N25: the invented town's five-year plan from its unit prices, and life left."""

from datetime import date

import pytest

from registry.planning.faults import PlanningError
from registry.planning.spend import (
    NO_LONGER_ENOUGH,
    OWNERS_DATE,
    PANELS,
    Line,
    Range,
    UnitPrice,
    exactly,
    life_left,
    spend_of,
    years_to_panels,
)
from registry.planning.words import NotDecided
from tests.planning.demo_table import FT2, number, rows

# Unit prices as the head of that plan gives them, dollars.
INSPECTION, TEST = UnitPrice(each=220), UnitPrice(each=180)
SWEEP = UnitPrice(per_m2=0.03 / FT2, at_least=450)
WASH = UnitPrice(per_m2=0.45 / FT2, at_least=1600)
AREA_FT2 = {row["no."]: number(row["area ft²"]) for row in rows("2A_pavements.csv")}
PLAN = {row["no."]: row for row in rows("2I_five_year_plan.csv")}
# Counts that the people of the town planned: tests a year, sweeps a year, washes in five years.
COUNTS = {
    "BC-01": (3, 2, 1), "BC-02": (3, 2, 0), "BC-03": (3, 2, 1), "BC-04": (6, 3, 2),
    "BC-05": (3, 2, 0), "BC-06": (3, 2, 2), "BC-07": (3, 2, 0), "BC-08": (3, 2, 0),
    "BC-10": (2, 1, 0),
}  # fmt: skip
YEARS = range(2027, 2032)


def lines(ref: str) -> list[Line]:
    tests, sweeps, washes = COUNTS[ref]
    area = AREA_FT2[ref] * FT2
    found = []
    for year in YEARS:
        found.append(Line(year, "inspections", exactly(1), exactly(INSPECTION.of(area))))
        found.append(Line(year, "tests", exactly(tests), exactly(TEST.of(area))))
        found.append(Line(year, "sweeping", exactly(sweeps), exactly(SWEEP.of(area))))
    found.append(Line(2029, "wash", exactly(washes), exactly(WASH.of(area))))
    found.append(Line(2028, "repairs", exactly(1), exactly(number(PLAN[ref]["known repairs $"]))))
    return found


@pytest.mark.parametrize("ref", COUNTS)
def test_table_7_2_i_prints_these_sums(ref):
    spend, row = spend_of(lines(ref)), PLAN[ref]
    for kind, column in (
        ("inspections", "inspections $"), ("tests", "tests $"), ("sweeping", "sweeping $"),
        ("wash", "restorative cleaning $"),
    ):  # fmt: skip
        # The table prints whole dollars.
        assert spend.by_kind[kind].low == pytest.approx(number(row[column]), abs=0.5)
    assert spend.total.low == pytest.approx(number(row["five years $"]), abs=0.5)
    assert spend.total.low == spend.total.high


def test_the_whole_of_table_7_2_i():
    whole = spend_of(line for ref in COUNTS for line in lines(ref))
    assert whole.total.low == pytest.approx(number(PLAN["**all**"]["five years $"]), abs=0.5)
    assert sum(year.low for year in whole.by_year.values()) == pytest.approx(whole.total.low)


def test_table_7_2_g_prints_what_the_washes_cost():
    # $1,944 in 2023 and, for two passes, $3,888 in 2024, of rows A-C.
    area = 4320 * FT2
    assert WASH.of(area) == pytest.approx(1944)
    assert 2 * WASH.of(area) == pytest.approx(3888)


def test_a_range_of_counts_and_prices_gives_a_range():
    spend = spend_of([Line(2027, "wash", Range(1, 2), Range(1600, 2000))])
    assert (spend.total.low, spend.total.high) == (1600, 4000)


def test_a_price_on_an_unknown_area_is_not_decided():
    assert isinstance(SWEEP.of(None), NotDecided)
    assert INSPECTION.of(None) == 220


def test_life_ends_with_the_first_of_three():
    left = life_left(
        date(2026, 1, 1),
        no_longer_enough=Range(4, 9),
        panels=Range(6, 7),
        owner_ends_on=date(2046, 1, 1),
    )
    assert (left.low, left.high, left.which) == (4, 7, NO_LONGER_ENOUGH)
    assert left.not_known == ()


def test_an_end_not_known_makes_it_at_most():
    unknown = NotDecided("no fit")
    left = life_left(
        date(2026, 1, 1), no_longer_enough=unknown, panels=unknown, owner_ends_on=date(2030, 1, 1)
    )
    assert left.which == OWNERS_DATE
    assert left.is_at_most
    assert left.not_known == (NO_LONGER_ENOUGH, PANELS)


def test_no_end_known_is_not_decided():
    unknown = NotDecided("no fit")
    left = life_left(date(2026, 1, 1), no_longer_enough=unknown, panels=unknown, owner_ends_on=None)
    assert isinstance(left, NotDecided)


def test_years_until_a_quarter_of_the_panels_needs_replacement():
    # 40 panels, 4 today: 6 more at 1 to 3 a year.
    assert years_to_panels(40, 4, Range(1, 3)) == Range(2, 6)
    assert years_to_panels(40, 10, Range(1, 3)) == exactly(0)
    assert isinstance(years_to_panels(40, 4, Range(0, 3)), NotDecided)
    with pytest.raises(PlanningError):
        years_to_panels(40, 41, Range(1, 3))
