"""Lengths in the words of a plan: feet and tenths, or metres and centimetres."""

import pytest

from registry.plan.lengths import metres_from, to_tape, with_unit, write_length, written_from
from registry.units import System

FEET, METRES = System.INCH_POUND, System.SI


@pytest.mark.parametrize(
    ("metres", "system", "text"),
    [
        (0.97536, FEET, "3.2"),
        (3.6576, FEET, "12.0"),
        (1.0, METRES, "1.00"),
        (1.2345, METRES, "1.2345"),
        (-0.00001, METRES, "0.00"),
    ],
)
def test_length_is_written_as_on_its_plan(metres, system, text):
    assert write_length(metres, system) == text


def test_message_leaves_out_decimals_that_say_nothing():
    assert (with_unit(3.6576, FEET), with_unit(3.66, METRES)) == ("12 ft", "3.66 m")


def test_foot_is_the_international_foot():
    # 0.3048 m, exact (international yard and pound agreement, 1959)
    assert metres_from(10.0, FEET) == pytest.approx(3.048, abs=1e-12)
    assert metres_from(10.0, METRES) == 10.0


@pytest.mark.parametrize("system", System)
def test_what_is_written_is_what_comes_back(system):
    for written in (0.1, 3.25, 12.0, 99.99):
        assert written_from(metres_from(written, system), system) == written


def test_tape_gives_tenths_of_a_foot_or_centimetres():
    assert written_from(to_tape(1.0, FEET), FEET) == 3.3
    assert to_tape(1.2345, METRES) == pytest.approx(1.23)
