"""N24 of the wash C-12 of the failed pavement, and where it is withheld."""

from dataclasses import replace

import pytest

from registry.planning.cost_of_function import Part, cost_of_function
from registry.planning.words import NotDecided
from tests.planning.demo_table import FT2, IN_H

ACTION = 21.0 * IN_H
# The edge stayed below, the wheel path went from 18 to 33; areas of the rows are invented here.
EDGE = Part("U", 1440 * FT2, 3.9 * IN_H, 6.1 * IN_H, before_sign="<")
PATH = Part("W", 2880 * FT2, 18 * IN_H, 33 * IN_H)


def test_c_12_brought_the_wheel_path_alone():
    found = cost_of_function(3888, 4320 * FT2, [EDGE, PATH], ACTION)
    assert found.per_m2 * FT2 == pytest.approx(0.90)
    assert found.brought == ("W",)
    assert found.per_m2_brought * FT2 == pytest.approx(3888 / 2880)


def test_without_a_test_before_nothing_is_said_of_function():
    parts = [replace(part, before_mm_h=None) for part in (EDGE, PATH)]
    found = cost_of_function(3888, 4320 * FT2, parts, ACTION)
    assert found.per_m2_brought == NotDecided("No test before the cleaning.", ("test before",))
    assert found.per_m2 * FT2 == pytest.approx(0.90)


def test_a_bound_across_the_level_leaves_it_open():
    # 40 lb stopped at 30 min says < 19.6 in/h, which decides nothing about 12.5 in/h.
    part = replace(PATH, before_mm_h=19.6 * IN_H, before_sign="<")
    assert isinstance(cost_of_function(100, 100, [part], 12.5 * IN_H).brought_m2, NotDecided)


@pytest.mark.parametrize("missing", ["cost", "area", "action"])
def test_what_is_missing_is_said(missing):
    found = cost_of_function(
        None if missing == "cost" else 100,
        None if missing == "area" else 100,
        [PATH],
        None if missing == "action" else ACTION,
    )
    assert isinstance(found.per_m2_brought if missing != "area" else found.per_m2, NotDecided)


def test_nothing_brought_up_divides_by_nothing():
    found = cost_of_function(100, 100, [EDGE], ACTION)
    assert found.brought_m2 == 0
    assert isinstance(found.per_m2_brought, NotDecided)
