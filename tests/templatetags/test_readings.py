"""Figures of a fit and its back-test: no more than was seen, never a bare nothing."""

import pytest

from registry.models import InfiltrationTest
from registry.templatetags.readings import (
    about_money,
    check_figure,
    closer,
    foretold,
    further_readings,
    two_decimals,
)


@pytest.mark.parametrize(
    ("inside", "numbers", "words"),
    [(1.0, 3, "3 of 3"), (2 / 3, 3, "2 of 3"), (0.8125, 32, "81.2 %"), (None, 0, "no number")],
)
def test_share_of_few_numbers_is_told_as_a_count(inside, numbers, words):
    assert foretold(inside, numbers) == words


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [("gradient", 0.0, "under 0.001"), ("gradient", 0.0213, "0.021"),
     ("residuals_beyond_2", 0.0741, "7.4 %"), ("parameters_at_a_bound", 2.0, "2")],
)  # fmt: skip
def test_check_is_a_share_a_count_or_how_small(name, value, words):
    assert check_figure(name, value) == words


@pytest.mark.parametrize(
    ("value", "words"), [(None, "no number"), (-0.604, "−0.60"), (0.0, "0.00"), (1.256, "1.26")]
)
def test_number_below_nothing_has_a_true_minus(value, words):
    assert two_decimals(value) == words


@pytest.mark.parametrize(
    ("rmse", "model", "words"),
    [(1.26, 0.43, "the fit"), (0.03, 1.55, "this way"), (0.431, 0.434, "alike"),
     (None, 0.4, "not decided"), (0.4, None, "not decided")],
)  # fmt: skip
def test_back_test_says_which_way_came_closer_even_against_the_fit(rmse, model, words):
    assert closer({"rmse": rmse, "model_rmse": model}) == words


@pytest.mark.parametrize(
    ("cost", "words"), [(653.94, "650"), (8.437, "8.4"), (12849.0, "13\u202f000")]
)
def test_yearly_cost_that_an_estimate_divides_has_two_figures(cost, words):
    assert about_money(cost) == words


def test_all_that_a_sheet_says_beside_its_readings_is_told_with_units():
    """15 °C is 59 °F, exactly by definition."""
    sheet = {"standing_water": "no", "crack_in_ring": "nk", "slope_percent": 2.5, "limit_min": 30.0}
    row = InfiltrationTest(system="inch_pound", air_c=15.0, ring_is_assumed=True, **sheet)
    row.empties = {"water_c": "nm", "ring": "nk"}
    assert further_readings(row) == [
        ("ring", "diameter assumed, not measured"), ("standing water", "no"),
        ("crack, joint or hole in the ring", "not known"), ("slope", "2.5 %"),
        ("limit", "30 min"), ("air temperature", "59 °F"), ("water temperature", "not measured"),
    ]  # fmt: skip
    assert further_readings(InfiltrationTest(system="si")) == []
