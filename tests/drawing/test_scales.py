"""Axes: a log scale for rates and a calendar scale for days, with round ticks."""

from datetime import date, timedelta

import pytest

from registry.drawing.scales import DayScale, LogScale, day_range, log_range


def test_each_factor_takes_the_same_height_and_values_beyond_lie_on_the_ends():
    scale = LogScale(1.0, 100.0, top_mm=10.0, foot_mm=50.0)
    assert [scale.at(v) for v in (1, 10, 100)] == pytest.approx([50, 30, 10])
    assert (scale.at(0.1), scale.at(1e6)) == (50.0, 10.0)


def test_heights_of_a_whole_curve_are_those_of_each_value():
    scale = LogScale(3.0, 700.0, top_mm=10.0, foot_mm=50.0)
    values = [0.1, 3.0, 3.7, 42.0, 699.0, 1e6]
    assert scale.along(values) == pytest.approx([scale.at(v) for v in values], abs=1e-9)


def test_ticks_are_round_and_thin_out_where_they_would_touch():
    scale = LogScale(1.0, 100.0, 0.0, 60.0)
    assert scale.ticks(4.0) == [1, 2, 5, 10, 20, 50, 100]
    assert scale.ticks(20.0) == [1, 10, 100]


@pytest.mark.parametrize("values", [[100.0], [3.0, 7.0], [0.02, 900.0]])
def test_range_of_rates_holds_all_with_air_over_a_decade_at_least(values):
    low, high = log_range(values)
    assert low < min(values) and high > max(values) and high / low >= 10
    assert {f"{end:e}"[0] for end in (low, high)} <= set("125")


def test_range_of_days_is_a_year_at_least_and_holds_all():
    one = date(2024, 5, 1)
    first, last = day_range([one])
    assert first < one < last and last - first >= timedelta(365)


def test_days_run_from_left_to_right_and_ticks_are_starts_of_years_or_months():
    years = DayScale(date(2020, 6, 1), date(2024, 6, 1), 0.0, 100.0)
    assert (years.at(years.first), years.at(years.last)) == (0.0, 100.0)
    assert [text for _, text in years.ticks(10.0)] == ["2021", "2022", "2023", "2024"]
    months = DayScale(date(2024, 1, 1), date(2024, 12, 31), 0.0, 100.0)
    assert [text for _, text in months.ticks(20.0)] == [
        "2024-01", "2024-04", "2024-07", "2024-10",
    ]  # fmt: skip
    assert not years.shows(date(2020, 5, 31))
