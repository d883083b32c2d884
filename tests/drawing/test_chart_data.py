"""What a log scale cannot show, or a band that does not go round its middle, is refused."""

import math
from datetime import date

import pytest

from registry.drawing.chart_data import ActionLevel, DeclineBand, RatePoint, SpotLine
from registry.drawing.primitives import DrawingError

DAYS = (date(2024, 1, 1), date(2025, 1, 1))


@pytest.mark.parametrize("rate", [0.0, -1.0, math.inf, math.nan])
def test_rate_that_has_no_place_on_a_log_scale_is_refused(rate):
    for make in (
        lambda: RatePoint(DAYS[0], rate),
        lambda: ActionLevel(rate),
        lambda: SpotLine("U", DAYS, (1.0, rate)),
    ):
        with pytest.raises(DrawingError, match="above 0"):
            make()


def test_level_ends_after_it_begins():
    assert ActionLevel(254.0, *DAYS).to_on == DAYS[1]
    with pytest.raises(DrawingError, match="on or before"):
        ActionLevel(254.0, DAYS[0], DAYS[0])


@pytest.mark.parametrize(
    ("middle", "low", "high"),
    [
        ((5.0, 5.0), (6.0, 4.0), (7.0, 6.0)),
        ((5.0, 5.0), (4.0, 4.0), (6.0, 4.5)),
        ((5.0, 5.0), (0.0, 4.0), (6.0, 6.0)),
        ((5.0,), (4.0, 4.0), (6.0, 6.0)),
    ],
)
def test_band_goes_round_its_middle_on_the_same_days(middle, low, high):
    with pytest.raises(DrawingError):
        DeclineBand(DAYS, middle, low, high)


def test_line_of_one_day_is_none():
    with pytest.raises(DrawingError, match="a rate for each"):
        SpotLine("U", DAYS[:1], (1.0,))
