"""N23 against worked examples and the cleanings of the invented town."""

import pytest

from registry.planning.debris import Debris, debris_on_area
from registry.planning.words import NotDecided
from tests.planning.demo_table import FT2, YD3, number, rows

C_12 = next(row for row in rows("2C_cleanings.csv") if row["event"] == "C-12")


def test_worked_example_from_the_row_of_c_12():
    found = debris_on_area(
        Debris(number(C_12["area ft²"]) * FT2, number(C_12["debris yd³"]) * YD3, wet="wet")
    )
    assert round(found.yd3_a_1000_ft2, 2) == 0.39
    assert (found.noted, found.lb_a_1000_ft2) == ("wet", None)


def test_weight_on_1000_ft2():
    found = debris_on_area(Debris(1000 * FT2, None, mass_kg=453.59237))
    assert found.lb_a_1000_ft2 == pytest.approx(1000)


@pytest.mark.parametrize(
    ("debris", "missing"),
    [
        (Debris(None, 1.0), "area done"),
        (Debris(10.0, None), "volume or weight"),
        (Debris(10.0, 1.0, is_guessed=True), "volume or weight"),
    ],
)
def test_no_number_without_its_readings(debris, missing):
    found = debris_on_area(debris)
    assert isinstance(found, NotDecided)
    assert found.missing == (missing,)


def test_a_weight_stands_beside_a_guessed_volume():
    found = debris_on_area(Debris(10.0, 1.0, mass_kg=50.0, is_guessed=True))
    assert (found.litres_a_m2, found.kg_a_m2) == (None, 5.0)
