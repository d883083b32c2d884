"""Drawdown and storage: hand-worked values."""

from datetime import UTC, datetime, timedelta

import pytest

from registry.measuring import (
    InvalidStorage,
    Layer,
    NoDrawdown,
    design_drawdown_h,
    drawdown,
    storage_mm,
)
from registry.units import read_local_instant

IN = 25.4
END = datetime(2026, 3, 1, 8, tzinfo=UTC)


@pytest.mark.parametrize(
    ("depth", "voids", "soil", "hours"), [(12, 0.40, 0.25, 19.2), (18, 0.40, 0.10, 72.0)]
)
def test_design_drawdown_by_hand(depth, voids, soil, hours):
    assert design_drawdown_h(depth * IN, voids, soil * IN) == pytest.approx(hours)


def test_n29_gives_hours_and_the_rate_of_the_soil():
    read = drawdown(
        rain_ended_at=END,
        emptied_at=END + timedelta(hours=19.2),
        rain_during=False,
        drop_mm=12 * IN,
        void_ratio=0.40,
    )
    assert read.hours == pytest.approx(19.2)
    assert read.mm_h == pytest.approx(0.25 * IN)


def test_n29_without_a_drop_gives_hours_alone():
    read = drawdown(rain_ended_at=END, emptied_at=END + timedelta(hours=5), rain_during=False)
    assert (read.hours, read.mm_h) == (5, None)


def test_n29_counts_elapsed_hours_over_a_change_of_clocks():
    read = drawdown(
        rain_ended_at=read_local_instant("2025-11-01 20:00", "America/New_York"),
        emptied_at=read_local_instant("2025-11-02 20:00", "America/New_York"),
        rain_during=False,
    )
    assert read.hours == 25


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"rain_during": True}, "rain_during"),
        ({"rain_during": None}, "rain_unknown"),
        ({"rain_ended_at": None}, "rain_end_missing"),
        ({"emptied_at": None}, "not_empty"),
    ],
)
def test_n29_is_refused_with_its_reason(changes, code):
    given_values = {
        "rain_ended_at": END,
        "emptied_at": END + timedelta(hours=9),
        "rain_during": False,
        **changes,
    }
    refused = drawdown(**given_values)
    assert isinstance(refused, NoDrawdown)
    assert refused.code == code


def test_n29_refuses_a_well_that_emptied_before_the_rain_ended():
    with pytest.raises(InvalidStorage):
        drawdown(rain_ended_at=END, emptied_at=END - timedelta(hours=1), rain_during=False)


def test_n30_adds_the_layers():
    # 5 in at 20 % and 6 in at 40 %: 1.0 + 2.4 = 3.4 in
    assert storage_mm([Layer(5 * IN, 0.20)]) / IN == pytest.approx(1.0)
    assert storage_mm([Layer(5 * IN, 0.20), Layer(6 * IN, 0.40)]) / IN == pytest.approx(3.4)


@pytest.mark.parametrize(
    "call",
    [
        lambda: storage_mm([]),
        lambda: Layer(0, 0.4),
        lambda: Layer(100, 1.0),
        lambda: Layer(100, 40),
        lambda: design_drawdown_h(300, 0.4, 0),
    ],
)
def test_numbers_that_cannot_be_are_refused(call):
    with pytest.raises(InvalidStorage):
        call()
