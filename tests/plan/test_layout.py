"""A plan on a day: who bore a name, whose a point is, and what happened to panels since."""

from dataclasses import replace
from datetime import date

import pytest

from registry.plan.faults import PlaceError, PlanError
from registry.plan.features import FeatureKind
from registry.plan.layout import Layout
from registry.plan.panels import CutAcross
from registry.units import System
from tests.plan.layouts import BEFORE, FT, datum, north_lot

LATER, AFTER = date(2025, 1, 1), date(2025, 6, 1)
LOT = north_lot()


def test_joint_belongs_to_the_panel_on_the_home_side():
    assert LOT.panel_at(12 * FT, 12 * FT, BEFORE).name == "A1"
    assert LOT.panel_at(12 * FT + 0.001, 12 * FT + 0.001, BEFORE).name == "B2"
    assert LOT.panel_at(-1.0, 1.0, BEFORE) is None


def test_name_that_is_not_there_says_what_the_plan_has():
    with pytest.raises(PlaceError, match=r"lanes are A to D, its numbers go up to 11"):
        LOT.panel_named("E1", BEFORE)
    with pytest.raises(PlaceError, match=r"no panel A1 on 2000-01-01: A1 \(from 2023-08-24\)"):
        LOT.panel_named("A1", date(2000, 1, 1))


def test_replaced_panel_keeps_its_name_and_its_fixed_point_begins_anew():
    mended = LOT.replaced("D6", LATER)
    old, new = (mended.panel_named("D6", day) for day in (BEFORE, AFTER))
    assert (old.exists_to, new.placed_on) == (LATER, LATER)
    with pytest.raises(PlaceError, match="placed more than once"):
        mended.panel_named("D6")

    def points(day):
        there = mended.features_on(day)
        return {f.name for f in there if f.kind == FeatureKind.FIXED_POINT}

    assert ("U" in points(BEFORE), "U" in points(AFTER)) == (True, False)
    assert "D6 new" in points(AFTER)


def test_cut_panel_is_named_by_its_parts_from_that_day():
    cut = LOT.cut("B3", LATER, 1.0, CutAcross.AT_UP)
    assert cut.panel_named("B3", BEFORE).name == "B3"
    assert cut.panel_named("B3a", AFTER).length_m == 1.0
    with pytest.raises(PlaceError, match="It was cut into B3a and B3b"):
        cut.panel_named("B3", AFTER)


def test_ended_panel_leaves_its_place_empty():
    ended = LOT.ended("A1", LATER)
    assert ended.panel_at(1.0, 1.0, BEFORE).name == "A1"
    assert ended.panel_at(1.0, 1.0, AFTER) is None


def test_panels_on_top_of_each_other_are_no_plan():
    moved = replace(LOT.panels[0], letter="E", right_m=1.0)
    with pytest.raises(PlanError):
        Layout(System.SI, datum(), (LOT.panels[0], moved))
    gone = replace(LOT.panels[0], exists_to=LATER)
    Layout(System.SI, datum(), (gone, replace(moved, exists_from=LATER)))
