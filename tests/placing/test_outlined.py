"""Raveled shares from outlines, against areas worked by hand on panels of 4 m by 4 m."""

import pytest
from shapely import box

from registry.placing.outlined import Seen, Way, raveled_shares
from registry.plan import grid

PANELS = grid(2, 2, 4.0, 4.0)  # A1 A2 B1 B2, 16 m2 each


def plan(ref, *corners):
    return Seen(ref, Way.PLAN, box(*corners))


def test_outlines_that_lie_on_each_other_count_once_and_are_clipped_to_each_panel():
    """2 x 2 and 2 x 2 that share 1 x 2: 6 m2 of A1 (37.5 %); one over a joint, 1 x 2 on each side.

    A2: 2 of 16 (12.5 %); B2: 2 of 16.
    """
    seen = [plan("1", 0, 0, 2, 2), plan("2", 1, 0, 3, 2), plan("3", 3, 5, 5, 7)]
    found = raveled_shares(seen, PANELS)
    assert found.by_way == {Way.PLAN: {"A1": 0.375, "A2": 0.125, "B2": 0.125}}
    assert not found.untold


def test_walked_panels_without_raveling_are_0_and_others_are_not_graded():
    found = raveled_shares([plan("1", 0, 0, 2, 2)], PANELS, clear={"A1", "A2", "B1"})
    assert found.by_way[Way.PLAN] == {"A1": 0.25, "A2": 0.0, "B1": 0.0}


def test_two_ways_in_one_panel_are_not_added_and_both_are_told():
    seen = [plan("1", 0, 0, 2, 2), Seen("2", Way.PHOTO, box(2, 2, 4, 3)), plan("3", 4, 0, 6, 2)]
    found = raveled_shares(seen, PANELS)
    assert found.by_way == {Way.PLAN: {"B1": 0.25}}
    ((panel, why),) = found.untold
    assert panel == "A1" and "plan 25 %" in why and "photos 12 %" in why and "not added" in why


def test_one_area_without_an_outline_is_a_share_and_two_may_lie_on_each_other():
    one, other = (Seen(ref, Way.SHARE, panel="A1", area_m2=4.0) for ref in "12")
    assert raveled_shares([one], PANELS).by_way == {Way.SHARE: {"A1": 0.25}}
    found = raveled_shares([one, other], PANELS)
    assert not found.by_way and "may lie on each other" in found.untold[0][1]


def test_area_beyond_the_panel_gives_no_share_but_a_taped_edge_does():
    assert raveled_shares([Seen("1", Way.SHARE, panel="A1", area_m2=16.2)], PANELS).by_way == {
        Way.SHARE: {"A1": 1.0}
    }
    found = raveled_shares([Seen("1", Way.SHARE, panel="A1", area_m2=20.0)], PANELS)
    assert not found.by_way and "larger than the panel" in found.untold[0][1]


def test_raveling_that_nobody_took_the_extent_of_leaves_its_panel_without_a_number():
    found = raveled_shares(
        [plan("1", 0, 0, 2, 2), plan("2", 4, 0, 6, 2)], PANELS, clear={"A1"}, unknown={"A1"}
    )
    assert found.by_way == {Way.PLAN: {"B1": 0.25}} and found.untold[0][0] == "A1"


@pytest.mark.parametrize("seen", [[], [plan("far", 90, 90, 91, 91)]], ids=["none", "off plan"])
def test_nothing_on_the_panels_gives_nothing(seen):
    assert raveled_shares(seen, PANELS).by_way == {}
