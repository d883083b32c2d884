"""How many spots and where. Counts: ASTM C1701/C1701M, from memory of the standard."""

import math
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from registry.measuring import (
    Blocked,
    FixedPoint,
    Rectangle,
    SpotError,
    Stratum,
    StratumPlan,
    draw_spots,
    required_spot_count,
)
from registry.measuring.spots import FIRST_AREA, FURTHER_AREA
from registry.units import Kind, System, from_si, to_si

EDGE = StratumPlan(Stratum.RUN_ON_EDGE, (Rectangle(0, 0, 40, 3),))
WHEEL = StratumPlan(Stratum.WHEEL_PATH, (Rectangle(5, 3, 3, 10), Rectangle(20, 3, 3, 10)))
FIELD = StratumPlan(Stratum.FIELD, (Rectangle(0, 13, 40, 12),))
LOT = (EDGE, WHEEL, FIELD)


@pytest.mark.parametrize(
    ("area", "system", "count"),
    [
        (100, System.SI, 3),
        (2500, System.SI, 3),
        (2501, System.SI, 4),
        (3500, System.SI, 4),
        (3501, System.SI, 5),
        (5200, System.SI, 6),
        (10_000, System.SI, 11),
        (25_000, System.INCH_POUND, 3),
        (25_001, System.INCH_POUND, 4),
        (35_000, System.INCH_POUND, 4),
        (35_001, System.INCH_POUND, 5),
        (60_000, System.INCH_POUND, 7),
        (43_560, System.INCH_POUND, 5),
        # one lot counts differently in the two systems, so the system is stored
        (2450, System.SI, 3),
        (26_371.6, System.INCH_POUND, 4),
    ],
)
def test_number_of_spots(area, system, count):
    assert required_spot_count(area, system) == count


@pytest.mark.parametrize("system", list(System))
def test_an_area_at_a_step_counts_the_same_after_it_was_stored_in_m2(system):
    for step in range(60):
        area = FIRST_AREA[system] + step * FURTHER_AREA[system]
        back = from_si(to_si(area, Kind.AREA, system), Kind.AREA, system)
        assert required_spot_count(back, system) == required_spot_count(area, system) == 3 + step
        assert required_spot_count(area * (1 + 1e-6), system) == 4 + step


@pytest.mark.parametrize("area", [0, -5, math.nan, math.inf])
def test_an_area_that_cannot_be_is_refused(area):
    with pytest.raises(SpotError):
        required_spot_count(area, System.SI)


def test_a_draw_has_two_spots_at_the_run_on_edge_and_one_elsewhere_and_spares():
    draw = draw_spots(LOT, seed=4)
    counted = Counter(s.stratum for s in draw.spots if not s.spare)
    spares = Counter(s.stratum for s in draw.spots if s.spare)
    assert counted == {Stratum.RUN_ON_EDGE: 2, Stratum.WHEEL_PATH: 1, Stratum.FIELD: 1}
    assert set(spares.values()) == {3}


def test_the_numbers_used_make_the_place():
    for spot in draw_spots((EDGE, FIELD), seed=11).spots:
        box = (EDGE if spot.stratum is Stratum.RUN_ON_EDGE else FIELD).rectangles[0]
        assert spot.right_m == pytest.approx(box.right_m + spot.numbers[1] * box.width_m)
        assert spot.up_m == pytest.approx(box.up_m + spot.numbers[2] * box.depth_m)


def test_one_seed_is_one_draw_and_another_is_another():
    assert draw_spots(LOT, seed=4) == draw_spots(LOT, seed=4)
    assert draw_spots(LOT, seed=4).spots != draw_spots(LOT, seed=5).spots


def test_a_place_on_a_drain_is_skipped_with_its_reason_and_the_next_is_taken():
    drain = Blocked(Rectangle(0, 0, 40, 1.5), "drain")
    draw = draw_spots((EDGE,), seed=3, blocked=(drain,))
    assert draw.skipped
    assert {s.skipped for s in draw.skipped} <= {"drain"} | {
        s.skipped for s in draw.skipped if "nearer" in s.skipped
    }
    assert any(s.skipped == "drain" for s in draw.skipped)
    assert all(s.up_m >= 1.5 + 0.15 for s in draw.spots)  # the ring itself stays clear
    orders = sorted(s.order for s in (*draw.spots, *draw.skipped))
    assert orders == list(range(1, len(orders) + 1))


def test_spots_stay_a_metre_apart():
    spots = draw_spots((EDGE,), seed=8, counts={Stratum.RUN_ON_EDGE: 8}).spots
    for i, a in enumerate(spots):
        for b in spots[:i]:
            assert math.hypot(a.right_m - b.right_m, a.up_m - b.up_m) >= 1


def test_a_stratum_without_room_is_refused():
    patch = StratumPlan(Stratum.LEAF_SIDE, (Rectangle(0, 0, 1, 1),))
    with pytest.raises(SpotError, match="no room"):
        draw_spots((patch,), seed=1, counts={Stratum.LEAF_SIDE: 9})


@pytest.mark.parametrize(
    ("strata", "counts"),
    [
        ((EDGE,), {Stratum.RUN_ON_EDGE: 1}),
        ((EDGE,), {Stratum.FIELD: 1}),
        ((EDGE, EDGE), None),
    ],
)
def test_a_draw_that_breaks_the_rules_is_refused(strata, counts):
    with pytest.raises(SpotError):
        draw_spots(strata, seed=1, counts=counts)


def test_case_29_a_draw_on_a_fixed_point_is_allowed_and_marked():
    drawn = draw_spots((EDGE,), seed=2)
    target = drawn.spots[0]
    fixed = FixedPoint("U", target.right_m + 0.1, target.up_m)
    again = draw_spots((EDGE,), seed=2, fixed=(fixed,))
    assert again.spots[0].on_fixed == "U"
    assert [s.on_fixed for s in again.spots[1:]] == [""] * (len(again.spots) - 1)
    assert [(s.right_m, s.up_m) for s in again.spots] == [(s.right_m, s.up_m) for s in drawn.spots]


@settings(max_examples=40)
@given(st.integers(0, 10_000))
def test_every_spot_lies_in_its_stratum(seed):
    for spot in draw_spots(LOT, seed=seed).spots:
        boxes = next(s.rectangles for s in LOT if s.stratum is spot.stratum)
        assert any(box.is_within(spot.right_m, spot.up_m, 0) for box in boxes)


def test_rectangles_are_drawn_by_their_area():
    uneven = StratumPlan(Stratum.FIELD, (Rectangle(0, 0, 10, 10), Rectangle(50, 0, 30, 10)))
    firsts = [draw_spots((uneven,), seed=seed, spares=0).spots[0] for seed in range(2000)]
    share = sum(spot.right_m >= 50 for spot in firsts) / len(firsts)
    assert share == pytest.approx(0.75, abs=0.03)  # 3 standard deviations
