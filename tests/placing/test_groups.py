"""Loads 7 to 9 against the rest, the winter zone against the rest, and neighbours: as printed."""

from registry.placing import (
    NotGiven,
    against_the_rest,
    lags,
    over,
    raveled_by_load,
    side_by_side,
)
from registry.placing.groups import outside
from registry.plan import grid
from tests.placing import dispute

FT2_M2 = dispute.FOOT_M**2


def early_by_load() -> dict[str, float | NotGiven]:
    raveled = dispute.raveled(dispute.EARLY)
    return raveled_by_load(dispute.shares(), raveled, dispute.taped(raveled))


def load_areas() -> dict[str, float]:
    return {load: dispute.shares().area_of(load) for load in dispute.shares().loads}


def test_loads_7_to_9_against_the_rest_as_printed():
    """30 % of 972 ft2; the other fifteen 1.2 %."""
    found = against_the_rest(early_by_load(), load_areas(), ["7", "8", "9"])
    assert f"{100 * found.group.mean:.0f}" == "30"
    assert f"{found.group.area_m2 / FT2_M2:.0f}" == "972"
    assert (len(found.rest.names), f"{100 * found.rest.mean:.1f}") == (15, "1.2")


def test_loads_covered_later_than_25_minutes_are_those_three():
    longest = {
        row["load"]: lags(dispute.times(row)).longest_to_cover for row in dispute.table("1C_loads")
    }
    assert over(longest | {"x": None}, 25) == ("7", "8", "9")


def test_the_winter_zone_against_the_rest_as_printed():
    """Over the winter the 7 panels in the zone gained 15 points, the other 37 0.9."""
    before, after = dispute.raveled(dispute.EARLY), dispute.raveled(dispute.SPRING)
    gained = {panel: after[panel] - before[panel] for panel in before}
    found = against_the_rest(gained, dispute.shares().areas_m2, dispute.in_zone())
    assert (len(found.group.names), f"{100 * found.group.mean:.0f}") == (7, "15")
    assert (len(found.rest.names), f"{100 * found.rest.mean:.1f}") == (37, "0.9")


def test_one_without_a_number_is_left_out_by_name_and_a_side_without_any_is_no_comparison():
    shares = early_by_load() | {"9": NotGiven("not looked at")}
    assert against_the_rest(shares, load_areas(), ["7", "8", "9"]).left_out == ("9",)
    assert isinstance(against_the_rest(shares, load_areas(), ["9"]), NotGiven)


def test_neighbours_of_different_loads_the_largest_difference_first():
    """C10 (42 %) lies beside D10 (0 %) and B10 (2 %)."""
    found = side_by_side(dispute.shares(), dispute.panels(), dispute.raveled(dispute.EARLY))
    first = found[0]
    assert (first.panel, first.beside, round(first.difference, 2)) == ("C10", "D10", 0.42)
    assert (first.loads, first.beside_loads) == ("8 (33%)+9 (67%)", "17 (33%)+18 (67%)")
    assert [x.difference for x in found] == sorted((x.difference for x in found), reverse=True)


def test_neighbours_share_a_joint_and_no_load():
    shares, panels = dispute.shares(), dispute.panels()
    pairs = {
        frozenset((one.panel, one.beside))
        for one in side_by_side(shares, panels, dispute.raveled(dispute.EARLY))
    }
    assert frozenset(("C8", "D8")) in pairs
    assert frozenset(("C4", "C5")) not in pairs  # load 6 lies in both
    assert frozenset(("C8", "D9")) not in pairs  # they meet in a corner alone
    assert frozenset(("A8", "C8")) not in pairs  # lane B lies between
    assert len(pairs) == len({*pairs})


def test_a_panel_nobody_looked_at_is_left_out():
    found = side_by_side(dispute.shares(), dispute.panels(), {"C8": 0.38})
    assert found == ()
    assert side_by_side(dispute.shares(), grid(1, 1, 3, 3), {}) == ()


def test_panels_that_lie_in_neither_group_are_named():
    """Of table 1D 10 % or more on 2024-10-09: C5 to C11 (loads 6 to 9), D7 to D11 (the zone)."""
    late, newest, zone = ("7", "8", "9"), dispute.raveled(dispute.AUTUMN), dispute.in_zone()
    shares = dispute.shares()
    assert outside(shares, newest, late, zone, least=0.10) == ()
    assert outside(shares, newest, late, (), least=0.10) == ("D7", "D8", "D9", "D10", "D11")
    assert outside(shares, newest, ("8", "9"), zone, least=0.10) == ("C5", "C6")
    assert outside(shares, {"A1": 0.1, "A2": 0.099}, late, (), least=0.10) == ("A1",)
