"""Truck spacing (N35), worked by hand: 7 yd3, 12 ft lane, 6 in, 2.2 ft/min: 31.5 ft, 14 min."""

import pytest

from registry.placing import Placing, PlacingError
from registry.units import Kind, System, to_si
from tests.placing.dispute import FOOT_M

SEVEN_YARDS_M3 = to_si(7, Kind.VOLUME, System.INCH_POUND)


def placing(**other) -> Placing:
    usual = {
        "load_m3": SEVEN_YARDS_M3, "lane_width_m": 12 * FOOT_M, "thickness_m": 0.5 * FOOT_M,
        "speed_m_min": 2.2 * FOOT_M,
    }  # fmt: skip
    return Placing(**(usual | other))


def test_the_hand_worked_spacing():
    assert placing().covers_m / FOOT_M == pytest.approx(31.5)
    assert round(placing().spacing_min) == 14


def test_what_is_wasted_fills_no_lane():
    """The loads of the dispute filled 30.5 ft each: 3.2 % wasted, by hand 1 - 30.5 / 31.5."""
    assert placing(wasted=1 / 31.5).covers_m / FOOT_M == pytest.approx(30.5)


@pytest.mark.parametrize(
    "wrong", [{"load_m3": 0}, {"speed_m_min": -1}, {"wasted": 1}, {"thickness_m": float("nan")}]
)
def test_a_crew_that_cannot_be_is_refused(wrong):
    with pytest.raises(PlacingError):
        placing(**wrong)
