"""Each doubt that other entries raise is one that is veiled to who does not see them."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from registry.measuring.doubts import find_doubts
from registry.measuring.reading import Ended, Method, RingReading, compute_rate
from registry.measuring.surroundings import Earlier, Surroundings
from registry.measuring.veil import ON_OTHERS, VEILED, veil_doubts
from registry.units import System

AT = datetime(2024, 5, 2, 14, tzinfo=UTC)
READING = RingReading(
    system=System.INCH_POUND, method=Method.C1701, ended=Ended.DRAINED, ring=12.0, water=40.0,
    seconds=100.0, prewet_water=8.0, prewet_seconds=None,
)  # fmt: skip
ALONE = Surroundings(on=AT.date(), at=AT, rain_within_24h=False)
RATE = compute_rate(READING).mm_h


def earlier(ratio, **ago):
    at = AT - timedelta(**ago)
    return {"earlier": (Earlier(at.date(), RATE / ratio, Method.C1701, at=at),)}


OTHERS = [
    *(earlier(ratio, days=365) for ratio in (2.2046, 2.3622, 10.764, 25.4)),
    earlier(1.0, hours=20),
    earlier(1.0, days=1) | {"at": None},
    earlier(5.0, days=365) | {"cleaning_since_last": False},
    {"nearest_spot_m": 0.1},
    {"run": 3},
    {"run": 2, "prewet_again": False},
    {"run": 2, "prewet_again": False, "seconds_after_last_run": 900.0},
    {"run": 2, "prewet_again": True, "first_run_mm_h": RATE / 2},
    {"as_built_mm_h": RATE / 2},
    {"same_day_cleaning": "order unknown"},
    {"hours_since_wash": 5.0},
]


@pytest.mark.parametrize("around", OTHERS)
def test_doubt_that_other_entries_raise_tells_nothing_of_them_once_veiled(around):
    alone = {doubt.code for doubt in find_doubts(READING, ALONE)}
    found = find_doubts(READING, replace(ALONE, **around))
    raised = [doubt for doubt in found if doubt.code not in alone]
    assert raised and {doubt.code for doubt in raised} <= ON_OTHERS
    assert {doubt.code for doubt in veil_doubts(raised)} == {VEILED}
    for name in ("blocks_trend", "blocks_acceptance"):
        kept = [getattr(doubt, name) for doubt in veil_doubts(raised)]
        assert kept == [getattr(doubt, name) for doubt in raised]


def test_every_code_that_is_veiled_is_raised_by_some_entry():
    raised = {d.code for around in OTHERS for d in find_doubts(READING, replace(ALONE, **around))}
    assert raised >= ON_OTHERS
