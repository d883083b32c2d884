"""Looks at raveling as shares of panels: by rows that were never stored. Panels are 4 m by 4 m."""

from datetime import date

import pytest

from registry.gathering.load_pattern import PlacedLoads
from registry.gathering.outlined_shares import compared_first, in_order, key_of, outlined_looks
from registry.models import (
    Defect,
    Observation,
    Panel,
    PhotoExtent,
    PlacingDay,
    Visit,
    WalkedPanel,
)
from registry.placing.faults import NotGiven
from registry.placing.load_shares import Spread, lay_over
from registry.plan import grid

NEW, DAY = date(2023, 8, 22), date(2023, 10, 3)
PANELS = grid(2, 2, 4.0, 4.0)
SQUARE = [[0, 0], [2, 0], [2, 2], [0, 2]]
"""4 of the 16 m2 of A1: 25 %."""


@pytest.fixture
def placed():
    shares = lay_over([Spread("1", "A", 0, 8), Spread("2", "B", 0, 8)], PANELS)
    return PlacedLoads((PlacingDay(placed_on=NEW),), {}, PANELS, shares)


def row(pk=1, **more):
    return Defect(pk=pk, number=pk, kind="raveling", first_seen_on=DAY, **more)


def look(pk=1, on=DAY, **more):
    return Observation(pk=pk, defect_id=pk, seen_on=on, **more)


def found(placed, defects, looks, *, extents=(), walked=()):
    panels = [Panel(pk=n, name=p.name, width_m=4, length_m=4) for n, p in enumerate(PANELS, 1)]
    names = {panel.name: panel.pk for panel in panels}
    walks = [WalkedPanel(visit_id=1, panel_id=names[name]) for name in walked]
    visits = [Visit(pk=1, done_on=DAY)]
    return outlined_looks(placed, (defects, looks, extents, visits, walks, panels))


def told(outlined):
    return {key_of(one): dict(one.by_panel) for one in outlined.looks}


def test_outline_of_the_area_of_a_look_is_that_look_and_an_older_area_is_not(placed):
    """The outline grew to 4 m2 on 2024-04-18; on 2023-10-03 1 m2 was taped in A1: 6.25 %."""
    defect = row(outline=SQUARE, outline_kind="area", panel_id=1)
    spring = date(2024, 4, 18)
    looks = [look(area_m2=1.0), Observation(pk=2, defect_id=1, seen_on=spring, area_m2=4.1)]
    assert told(found(placed, [defect], looks)) == {
        "2023-10-03-panel_area": {"A1": 0.0625},
        "2024-04-18-plan_outline": {"A1": 0.25},
    }


def test_outline_without_an_area_is_of_the_last_look_alone(placed):
    defect = row(outline=SQUARE, outline_kind="area")
    looks = [look(), Observation(pk=2, defect_id=1, seen_on=date(2024, 4, 18))]
    outlined = found(placed, [defect], looks)
    assert told(outlined) == {"2024-04-18-plan_outline": {"A1": 0.25}}
    assert outlined.untold[0] == (
        DAY,
        (("A1", "Raveling is known there whose extent nobody took on that day."),),
    )


def test_outline_on_a_photo_goes_before_the_one_on_the_plan(placed):
    """4 m by 1 m on the photo: 25 % of B1."""
    strip = [[4, 0], [8, 0], [8, 1], [4, 1]]
    extent = PhotoExtent(observation_id=1, outline_kind="area", on_plan=strip)
    defect = row(outline=SQUARE, outline_kind="area")
    outlined = found(placed, [defect], [look(area_m2=4.0)], extents=[extent])
    assert told(outlined) == {"2023-10-03-photo_outline": {"B1": 0.25}}


def test_band_along_a_joint_is_its_length_times_its_width(placed):
    defect = row(panel_id=3)
    defect.kind = "edge_raveling"
    outlined = found(placed, [defect], [look(length_m=4.0, width_m=0.2)])
    assert told(outlined)["2023-10-03-panel_area"] == {"B1": pytest.approx(0.05)}


def test_walk_gives_0_where_no_raveling_is_and_a_load_its_share(placed):
    """Load 1 is A1 and A2: 4 of 32 m2. B2 was not walked, so load 2 has no share."""
    defect = row(outline=SQUARE, outline_kind="area")
    outlined = found(placed, [defect], [look(area_m2=4.0)], walked=["A1", "A2", "B1"])
    (one,) = outlined.looks
    assert one.by_panel == {"A1": 0.25, "A2": 0.0, "B1": 0.0}
    assert one.by_load["1"] == pytest.approx(0.125)
    assert isinstance(one.by_load["2"], NotGiven)


@pytest.mark.parametrize("seen", ["not_found", "could_not_look"])
def test_defect_not_found_is_0_where_walked_and_one_not_looked_at_is_open(placed, seen):
    defects = [row(outline=SQUARE, outline_kind="area"), row(2, panel_id=3)]
    looks = [look(area_m2=4.0), look(2, found=seen)]
    (one,) = found(placed, defects, looks, walked=["B1"]).looks
    assert one.by_panel == {"A1": 0.25, **({"B1": 0.0} if seen == "not_found" else {})}


def test_look_at_more_panels_stands_first_and_one_with_enough_loads_is_compared(placed):
    defects = [row(outline=SQUARE, outline_kind="area"), row(2, panel_id=3), row(3, panel_id=4)]
    looks = [look(area_m2=4.0), look(2, area_m2=1.0), look(3, area_m2=2.0)]
    ordered = in_order(found(placed, defects, looks).looks)
    assert [one.graded_by for one in ordered] == ["panel_area", "plan_outline"]
    assert compared_first(ordered, "2023-10-03-plan_outline") == [ordered[1]]
    assert compared_first(ordered)[0].by_load["2"] == pytest.approx(3 / 32)
    assert compared_first([]) == []
