"""A shown number opens to what made it: readings, formula, constant, limit and day."""

from datetime import UTC, datetime

import pytest

from registry.gathering.made_of import made_of_test
from registry.models import InfiltrationTest, Spot
from registry.units import System
from tests.factories import InfiltrationTestFactory

COMPUTED = {"result_constant": 126870.0, "result_value": 587.361}


def made_of(shown_in=System.INCH_POUND, **fields):
    row = InfiltrationTestFactory.build(spot=Spot(), pavement=None, **fields)
    assert isinstance(row, InfiltrationTest)
    return dict(made_of_test(row, shown_in))


def test_readings_stand_in_the_units_they_were_read_in():
    assert made_of(System.SI, prewet_seconds=25)["readings"] == (
        "ring 12 in, water 40 lb, 60 s, drained, prewet 25 s"
    )


def test_what_was_not_read_is_said():
    told = made_of(ring=None, water=None, seconds=None, ended="")
    assert told["readings"] == "ring not known, water not known, time not known"
    assert "formula" not in told and "gives" not in told


@pytest.mark.parametrize(
    ("shown_in", "sign", "ends"),
    [
        (System.INCH_POUND, "", "in/h"),
        (System.SI, "<", "in/h, shown in the units you chose"),
    ],
)
def test_result_keeps_its_sign_and_says_where_it_is_shown_in_other_units(shown_in, sign, ends):
    told = made_of(shown_in, result_sign=sign, **COMPUTED)
    assert told["gives"].endswith(ends) and told["gives"].startswith(sign or "5")
    assert told["constant"].startswith("K = 126")


def test_estimate_decides_nothing_and_day_of_work_is_told():
    at = datetime(2024, 5, 3, tzinfo=UTC)
    told = made_of(result_estimate=3.2, computed_at=at, limit_min=30)
    assert told["estimate"].endswith("it decides nothing alone")
    assert (told["limit"], told["worked out"]) == ("30 min", "2024-05-03")
