"""What may stand as measured."""

import math

import pytest

from registry.defects import Measured, MeasureError


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"area_m2": -0.1}, "The area cannot be below 0."),
        ({"lip_m": math.nan}, "The lip is not a number."),
        ({"depth_m": math.inf}, "The depth is not a number."),
        ({"frame_points": 101}, "A string frame has 100 points: write 0 to 100."),
        ({"panel_share": 1.01}, "A part of a panel lies between none and all of it."),
        ({"count": 2.5}, "The count is a whole number."),
        ({"pours": "fast"}, "Say how water goes in: normal, slow, sealed."),
        (
            {"direction": "north"},
            "Say which way it runs: up, down, left, right, up_down, left_right, slanting.",
        ),
        (
            {"crack_width_m": 0.002, "typical_width_m": 0.003},
            "The typical width of a crack cannot be more than the width at its widest place.",
        ),
    ],
)
def test_what_cannot_be_true_is_refused_in_words(wrong, words):
    with pytest.raises(MeasureError) as refused:
        Measured(**wrong)
    assert refused.value.message == words


@pytest.mark.parametrize(
    "edge", [{"frame_points": 0}, {"frame_points": 100}, {"panel_share": 1.0}, {"lip_m": 0.0}]
)
def test_the_ends_of_a_range_are_accepted(edge):
    assert Measured(**edge).has(next(iter(edge)))


def test_a_no_is_said_and_a_blank_is_not():
    measured = Measured(moves=False)
    assert measured.has("moves")
    assert not measured.has("is_loose")
    assert not measured.has("pours")
