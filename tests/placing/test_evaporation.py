"""Evaporation (N11) against Uno, ACI Materials Journal 95-M34 (1998): 1.15 kg/m2/h, 0.24 lb/ft2/h.

The inputs of the published example are from memory; the other cases are worked by hand from the
formula, and Menzel's table of 1954 is from memory of its reprint by the Portland Cement
Association, compared within 0.012 lb/ft2/h.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.placing import (
    NO_BLEED,
    PLAIN,
    DryingWeather,
    Evaporation,
    NotGiven,
    PlacingError,
    evaporation,
)
from registry.units import System
from tests.placing import dispute

SI, US = System.SI, System.INCH_POUND


def of(system, concrete, air, humidity, wind, *, by_eye=False) -> Evaporation:
    found = evaporation(DryingWeather(system, air, concrete, humidity, wind, by_eye))
    assert isinstance(found, Evaporation)
    return found


def test_both_forms_against_the_published_example_of_uno_1998():
    assert round(of(SI, 31, 27, 50, 19).value, 2) == 1.15
    assert round(of(US, 87, 80, 50, 12).value, 2) == 0.24
    assert of(SI, 31, 27, 50, 19).value == pytest.approx(1.1517, abs=5e-5)
    assert of(US, 87, 80, 50, 12).value == pytest.approx(0.24347, abs=5e-6)


@pytest.mark.parametrize(
    ("system", "given_", "value"),
    [
        (SI, (30, 30, 50, 16), 0.79813),
        (SI, (25, 25, 40, 25), 1.05485),
        (SI, (20, 5, 50, 20), 0.91595),
        (SI, (35, 35, 20, 24), 2.29038),
        (US, (80, 80, 50, 10), 0.14311),
        (US, (60, 40, 50, 10), 0.11413),
        (US, (90, 90, 30, 15), 0.37653),
    ],
)
def test_cases_worked_by_hand(system, given_, value):
    assert of(system, *given_).value == pytest.approx(value, abs=5e-6)


def test_the_forms_differ_and_the_one_used_is_kept():
    """82 degF, 44 %, 11 mph, concrete 84 degF: 0.205 lb/ft2/h, SI form 0.196 (worked by hand)."""
    own = of(US, 84, 82, 44, 11)
    metric = of(SI, (84 - 32) / 1.8, (82 - 32) / 1.8, 44, 11 * 1.609344)
    assert (own.words, own.form) == ("0.205 lb/ft²/h", US)
    assert metric.form is SI
    assert round(metric.value * 0.204816, 3) == 0.196


@pytest.mark.parametrize(
    ("wind", "table"), [(0, 0.015), (5, 0.038), (10, 0.062), (15, 0.085), (20, 0.110), (25, 0.135)]
)
def test_against_menzels_table_of_1954_by_wind(wind, table):
    assert of(US, 70, 70, 70, wind).value == pytest.approx(table, abs=0.012)


@pytest.mark.parametrize(
    ("humidity", "table"), [(90, 0.020), (50, 0.100), (30, 0.135), (10, 0.175)]
)
def test_against_menzels_table_of_1954_by_humidity(humidity, table):
    assert of(US, 70, 70, humidity, 10).value == pytest.approx(table, abs=0.012)


@pytest.mark.parametrize("row", dispute.table("1C_loads"), ids=lambda row: row["load"])
def test_every_load_of_the_dispute_as_printed(row):
    found = evaporation(dispute.weather(row))
    assert f"{found.value:.3f}" == row[dispute.DRYING]


def test_wind_by_eye_is_marked_about():
    assert of(US, 84, 82, 44, 11, by_eye=True).words == "about 0.205 lb/ft²/h"
    assert of(SI, 31, 27, 50, 19, by_eye=True).words == "about 1.15 kg/m²/h"


def test_below_zero_is_shown_as_zero():
    """Warm wet air over cold concrete: dew, not drying."""
    assert of(SI, 10, 25, 100, 10).value == 0
    assert of(US, 50, 80, 100, 5).words == "0.000 lb/ft²/h"


def test_limits_are_those_of_the_form_used():
    assert of(SI, 25, 25, 40, 25).passes(PLAIN)
    middling = of(US, 80, 80, 50, 10)
    assert middling.passes(NO_BLEED) and not middling.passes(PLAIN)


def test_what_nobody_read_is_named_instead_of_a_number():
    found = evaporation(DryingWeather(US, 82, None, 44, None))
    assert found == NotGiven("No evaporation without concrete, wind.")


@pytest.mark.parametrize(
    "wrong",
    [
        {"humidity_percent": 101}, {"humidity_percent": -1}, {"wind": -1}, {"air": -1},
        {"concrete": float("nan")},
    ],
)  # fmt: skip
def test_weather_that_cannot_be_is_refused(wrong):
    usual = {"air": 70, "concrete": 70, "humidity_percent": 50, "wind": 5}
    with pytest.raises(PlacingError):
        DryingWeather(US, **(usual | wrong))


@given(
    st.sampled_from([SI, US]),
    st.floats(0, 45), st.floats(0, 45), st.floats(0, 100), st.floats(0, 60),
)  # fmt: skip
def test_never_below_zero_and_more_wind_never_dries_less(system, concrete, air, humidity, wind):
    calm, windy = (of(system, concrete, air, humidity, v).value for v in (wind, wind + 5))
    assert 0 <= calm <= windy
