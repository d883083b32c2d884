from datetime import date

import pytest

from registry.plan import CutAcross, PlaceError, PlanError, grid, read_panel_name
from registry.plan.panels import PanelName, area_on, cut_panel, lane_of, letter_of
from tests.plan.layouts import (
    AFTER,
    BEFORE,
    CUT,
    FT,
    PLACED,
    REPLACED,
    closing_lot,
    curved_lane,
    mended_lot,
    north_lot,
)


def test_letters_leave_out_i_and_o():
    first = [letter_of(lane) for lane in range(26)]
    assert "".join(first[:24]) == "ABCDEFGHJKLMNPQRSTUVWXYZ"
    assert first[24:] == ["AA", "AB"]


def test_letters_count_back_to_lanes():
    assert [lane_of(letter_of(lane)) for lane in range(600)] == list(range(600))


@pytest.mark.parametrize("text", ["I5", "o7", "AI3"])
def test_letters_i_and_o_are_refused_with_the_reason(text):
    with pytest.raises(PlaceError, match="read as 1 and 0"):
        read_panel_name(text)


def test_panel_names_read_and_write():
    assert read_panel_name(" c8A ") == PanelName("C", 8, "a")
    assert str(PanelName("AA", 12, "b")) == "AA12b"


def test_grid_counts_lanes_right_and_numbers_up():
    panels = {panel.name: panel for panel in grid(4, 11, 12 * FT, 12 * FT)}
    assert len(panels) == 44
    assert (panels["D10"].right_m, panels["D10"].up_m) == pytest.approx((36 * FT, 108 * FT))
    assert sum(panel.area_m2 for panel in panels.values()) == pytest.approx(6336 * FT**2)


def test_replaced_panel_keeps_its_name_and_the_old_one_stays_readable():
    lot = mended_lot()
    old, new = lot.panels_ever_named("C8")
    assert (old.placed_on, old.exists_to) == (PLACED, REPLACED)
    assert (new.placed_on, new.exists_to) == (REPLACED, None)
    assert lot.panel_named("C8", BEFORE) == old
    assert lot.panel_named("C8", REPLACED) == new


def test_name_borne_twice_asks_for_the_day():
    with pytest.raises(PlaceError, match=r"ended 2025-05-13.*Say the day"):
        mended_lot().panel_named("C8")


def test_cut_panel_becomes_a_on_the_home_side_and_b():
    lot = mended_lot()
    names = [panel.name for panel in lot.panels_on(CUT)]
    assert "B4" not in names
    home, far = lot.panel_named("B4a"), lot.panel_named("B4b")
    assert (home.right_m, home.width_m) == pytest.approx((12 * FT, 5 * FT))
    assert (far.right_m, far.width_m) == pytest.approx((17 * FT, 7 * FT))
    assert home.cut_from == "B4"
    assert home.placed_on == PLACED  # the concrete is the old one


def test_cut_name_says_what_became_of_it():
    with pytest.raises(PlaceError, match="cut into B4a and B4b"):
        mended_lot().panel_named("B4", AFTER)


def test_area_of_each_day_is_right():
    lot = mended_lot()
    whole = 6336 * FT**2
    assert area_on(lot.panels, BEFORE) == pytest.approx(whole)
    assert area_on(lot.panels, AFTER) == pytest.approx(whole - 144 * FT**2)


def test_ended_name_is_not_used_for_another_place():
    lot = north_lot().ended("D10", REPLACED)
    elsewhere = grid(1, 1, 12 * FT, 12 * FT, origin=(48 * FT, 0), exists_from=AFTER)[0]
    moved = elsewhere.__class__(
        "D", 10, elsewhere.right_m, 0.0, 12 * FT, 12 * FT, exists_from=AFTER
    )
    with pytest.raises(PlanError, match="another place"):
        lot.__class__(lot.system, lot.datum, (*lot.panels, moved))


def test_panels_that_lie_on_each_other_are_refused():
    lot = north_lot()
    extra = grid(1, 1, 6 * FT, 6 * FT, origin=(50 * FT, 0))[0]
    on_top = extra.__class__("E", 1, 40 * FT, 0.0, 12 * FT, 12 * FT)
    with pytest.raises(PlanError, match=r"D1.*E1|E1.*D1"):
        lot.__class__(lot.system, lot.datum, (*lot.panels, on_top))


def test_fixed_point_in_a_replaced_panel_ends_and_a_new_one_begins():
    lot = north_lot().replaced("D6", REPLACED)
    before = [feature.name for feature in lot.features_on(BEFORE)]
    after = [feature.name for feature in lot.features_on(AFTER)]
    assert "U" in before and "D6 new" not in before
    assert "U" not in after and "D6 new" in after
    assert "W" in after


def test_saw_line_outside_the_panel_is_refused():
    with pytest.raises(PlanError, match="inside C8"):
        north_lot().cut("C8", CUT, 12 * FT, CutAcross.AT_UP)


def test_closing_piece_cut_keeps_its_slanted_side():
    lot = closing_lot().cut("B2", CUT, 6 * FT, CutAcross.AT_UP)
    parts = [lot.panel_named(name) for name in ("B2a", "B2b")]
    assert sum(part.area_m2 for part in parts) == pytest.approx(10.5 * 12 * FT**2)
    assert parts[0].area_m2 == pytest.approx(10.75 * 6 * FT**2)


def test_turned_panel_measures_from_its_own_corner_both_ways():
    for panel in curved_lane().panels:
        point = panel.to_plan(1.2, 2.1)
        assert panel.to_panel(*point) == pytest.approx((1.2, 2.1))
        assert panel.holds(*point)


def test_cut_needs_a_panel_of_that_day():
    panel = north_lot().panel_named("C8")
    with pytest.raises(PlanError, match="does not exist"):
        cut_panel(panel, date(2020, 1, 1), 1.0, CutAcross.AT_UP)
