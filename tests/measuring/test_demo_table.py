"""Every test of the town against the rate and the use that its people printed."""

import re

import pytest

from registry.measuring import (
    Earlier,
    NoRate,
    Surroundings,
    UseKind,
    compute_rate,
    decide_use,
    find_doubts,
    rate_range_for_rings,
)
from tests.measuring.demo_tests import rows

ROWS = rows()
PLAIN = [r for r in ROWS.values() if re.fullmatch(r"[\d.]+", r.printed)]


def printed_step(text: str) -> float:
    """Half the last figure as printed: the people rounded to whole, to 5 or to 10."""
    if "." in text:
        return 0.05
    value = int(text)
    return (
        5.0 if value >= 100 and value % 10 == 0 else 2.5 if value >= 100 and value % 5 == 0 else 0.5
    )


def test_the_table_is_whole():
    assert len(ROWS) == 140
    assert len(PLAIN) == 129  # the rest: 3 SI, 3 stopped, 5 without a plain number


@pytest.mark.parametrize("row", PLAIN, ids=lambda r: r.number)
def test_rate_is_the_printed_one(row):
    rate = compute_rate(row.reading)
    assert rate.sign == ""
    assert rate.in_h == pytest.approx(float(row.printed), abs=printed_step(row.printed))


@pytest.mark.parametrize(
    ("number", "mm_h", "in_h"),
    [("T-231", 12829, 505), ("T-232", 11562, 455), ("T-233", 15245, 600)],
)
def test_si_tests_are_computed_in_si_and_shown_in_both(number, mm_h, in_h):
    rate = compute_rate(ROWS[number].reading)
    assert round(rate.value) == mm_h
    assert rate.in_h == pytest.approx(in_h, abs=0.5)


@pytest.mark.parametrize("number", ["T-245", "T-269", "T-294"])
def test_stopped_tests_are_bounds_used_as_bounds(number):
    rate = compute_rate(ROWS[number].reading)
    assert rate.sign == "<"
    assert round(rate.in_h, 1) == 3.9
    assert decide_use(ROWS[number].reading, rate, ()).kind is UseKind.BOUND


def test_t_294_has_an_estimate_of_1_4():
    assert compute_rate(ROWS["T-294"].reading).estimate == pytest.approx(1.4, abs=0.05)


def test_t_319_without_its_ring_is_not_computed():
    row = ROWS["T-319"]
    rate = compute_rate(row.reading)
    assert isinstance(rate, NoRate)
    use = decide_use(row.reading, rate, ())
    assert (use.kind, use.code) == (UseKind.NOT_COMPUTED, "ring_missing")
    both = rate_range_for_rings(row.reading, (11.98, 12.05))
    assert both.spread == pytest.approx(0.012, abs=5e-4)


def test_t_340_from_a_pail_is_looked_at_only():
    row = ROWS["T-340"]
    use = decide_use(row.reading, compute_rate(row.reading), ())
    assert (use.kind, use.code) == (UseKind.LOOKED_AT, "not_to_standard")


def test_t_326_18_14_in_the_pound_column_is_136_as_written_300_if_kilograms():
    row = ROWS["T-326"]
    rate = compute_rate(row.reading)
    assert rate.in_h == pytest.approx(136, abs=0.5)
    assert rate.in_h / 0.45359237 == pytest.approx(300, abs=0.5)
    doubts = find_doubts(row.reading, Surroundings(on=row.on, rain_within_24h=False))
    assert "water_other_system" in {d.code for d in doubts}
    assert decide_use(row.reading, rate, doubts).kind is UseKind.LOOKED_AT


def test_t_333_3_42_as_typed_is_10_224_and_out():
    row = ROWS["T-333"]
    rate = compute_rate(row.reading)
    assert rate.in_h == pytest.approx(10224, abs=0.5)
    doubts = find_doubts(row.reading, Surroundings(on=row.on, rain_within_24h=False))
    assert decide_use(row.reading, rate, doubts).code == "too_short"


@pytest.mark.parametrize("number", ["T-306", "T-307", "T-308"])
def test_the_wet_round_is_looked_at_only(number):
    row = ROWS[number]
    doubts = find_doubts(row.reading, Surroundings(on=row.on, rain_within_24h=True))
    assert decide_use(row.reading, compute_rate(row.reading), doubts).code == "wet_day"


def test_t_249_18_hours_after_t_248_is_looked_at_only():
    first, second = ROWS["T-248"], ROWS["T-249"]
    earlier = Earlier(first.on, compute_rate(first.reading).mm_h, first.reading.method, at=first.at)
    around = Surroundings(on=second.on, at=second.at, rain_within_24h=False, earlier=(earlier,))
    doubts = find_doubts(second.reading, around)
    assert decide_use(second.reading, compute_rate(second.reading), doubts).code == "under_24_h"


def test_t_280_on_the_day_of_a_cleaning_without_clocks_is_looked_at_only():
    row = ROWS["T-280"]
    around = Surroundings(on=row.on, rain_within_24h=False, same_day_cleaning="order unknown")
    doubts = find_doubts(row.reading, around)
    use = decide_use(row.reading, compute_rate(row.reading), doubts)
    assert use.code == "cleaning_order_unknown"


def test_t_239_was_not_done_and_has_no_reading():
    assert ROWS["T-239"].reading is None


@pytest.mark.parametrize(
    "row", [r for r in ROWS.values() if r.used == "yes"], ids=lambda r: r.number
)
def test_what_the_people_used_for_trend_raises_no_blocking_doubt_on_a_dry_day(row):
    around = Surroundings(on=row.on, at=row.at, rain_within_24h=False)
    doubts = find_doubts(row.reading, around)
    assert [d.code for d in doubts if d.blocks_trend] == []
    # No sheet of this table has prewet water; every pour is the one its prewet asks for.
    assert {d.code for d in doubts} <= {"prewet_water_missing"}
