import pytest

from registry.plan import Layout, PlaceError, PlanError, grid
from registry.plan.renaming import Renaming, from_mapping, renaming_by_place
from registry.units import System
from tests.plan.layouts import AFTER, FT, datum


def plan(number, *, origin=(0.0, 0.0), lanes=3):
    panels = grid(lanes, 4, 12 * FT, 12 * FT, origin=origin)
    return Layout(System.INCH_POUND, datum(), panels, number=number)


def test_old_names_show_the_new_ones_beside_them():
    # Plan 1 began one lane too far right: its A is B on plan 2.
    renaming = renaming_by_place(plan(1, origin=(12 * FT, 0.0)), plan(2, lanes=4), AFTER)
    assert renaming.new_name("A1") == "B1"
    assert renaming.old_name("C2") == "B2"
    assert renaming.beside("A1") == "A1 (plan 2: B1)"
    assert renaming.old_name("A1") is None


def test_panel_without_counterpart_says_so():
    renaming = renaming_by_place(plan(1), plan(2, lanes=2), AFTER)
    assert renaming.beside("C1") == "C1 (plan 2: no panel)"
    assert renaming.beside("A1") == "A1"


def test_handwritten_list_must_name_panels_that_exist():
    with pytest.raises(PlaceError, match="no panel D1 on plan 2"):
        from_mapping(plan(1), plan(2), AFTER, {"A1": "D1"})


def test_two_old_names_cannot_become_one():
    with pytest.raises(PlanError, match="once"):
        Renaming(1, 2, AFTER, (("A1", "B1"), ("A2", "B1")))
