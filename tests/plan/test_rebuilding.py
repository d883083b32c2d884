"""A lost datum is found again from its ties, or from joints that are still there."""

import math

import pytest

from registry.plan import PlanError
from registry.plan.rebuilding import best_fit, from_ties


def test_datum_is_rebuilt_from_ties_that_meet():
    rebuilt = from_ties((0.0, 0.0), 3.0, (5.0, 0.0), 4.0)
    assert rebuilt.misfit_m == 0
    assert rebuilt.candidates[0] == pytest.approx((1.8, 2.4))  # 3-4-5 triangle
    assert rebuilt.candidates[1] == pytest.approx((1.8, -2.4))


@pytest.mark.parametrize(
    ("first_m", "second_m", "at", "misfit"),
    [(2.0, 2.5, 2.25, 0.5), (8.0, 2.0, 7.5, 1.0), (2.0, 8.0, -2.5, 1.0)],
)
def test_ties_that_do_not_meet_leave_a_written_misfit(first_m, second_m, at, misfit):
    rebuilt = from_ties((0.0, 0.0), first_m, (5.0, 0.0), second_m)
    assert rebuilt.misfit_m == pytest.approx(misfit)
    assert rebuilt.candidates[0] == pytest.approx((at, 0.0))
    for centre, length in (((0.0, 0.0), first_m), ((5.0, 0.0), second_m)):
        away = abs(math.dist(rebuilt.candidates[0], centre) - length)
        assert away == pytest.approx(misfit / 2)


def test_best_fit_to_joints_finds_the_turn_and_the_shift_back():
    turn = math.radians(-4.0)
    plan = [(0.0, 3.6), (7.3, 3.6), (3.6, 29.0)]
    found = [
        (
            x * math.cos(turn) - y * math.sin(turn) + 2.0,
            x * math.sin(turn) + y * math.cos(turn) - 1.0,
        )
        for x, y in plan
    ]
    fit = best_fit(plan, found)
    assert fit.turn_deg == pytest.approx(-4.0)
    assert fit.datum_at == pytest.approx((2.0, -1.0))
    assert fit.misfit_m == pytest.approx(0.0, abs=1e-12)


def test_best_fit_beats_its_neighbours_and_shows_what_is_left():
    plan = [(0.0, 0.0), (10.0, 0.0), (10.0, 30.0), (0.0, 30.0)]
    found = [(0.02, -0.05), (10.06, 0.01), (9.97, 30.04), (0.0, 29.98)]
    fit = best_fit(plan, found)

    def left(turn_deg: float, shift: tuple[float, float]) -> float:
        turn = math.radians(turn_deg)
        placed = [
            (
                x * math.cos(turn) - y * math.sin(turn) + shift[0],
                x * math.sin(turn) + y * math.cos(turn) + shift[1],
            )
            for x, y in plan
        ]
        return math.sqrt(sum(math.dist(*pair) ** 2 for pair in zip(placed, found, strict=True)) / 4)

    assert left(fit.turn_deg, fit.shift_m) == pytest.approx(fit.misfit_m)
    assert fit.worst_m >= fit.misfit_m > 0
    for turn, right, up in ((0.01, 0, 0), (-0.01, 0, 0), (0, 0.005, 0), (0, 0, -0.005)):
        moved = (fit.shift_m[0] + right, fit.shift_m[1] + up)
        assert left(fit.turn_deg + turn, moved) > fit.misfit_m


def test_joints_that_give_no_place_or_direction_are_refused():
    one_point = [(1.0, 1.0)] * 3
    for plan, found in ((one_point[:2], one_point[:2]), (one_point, one_point[:2]),
                        (one_point, one_point)):  # fmt: skip
        with pytest.raises(PlanError):
            best_fit(plan, found)


def test_ties_to_one_point_or_of_no_length_are_refused():
    for first_m, at in ((1.0, (0.0, 0.0)), (0.0, (5.0, 0.0))):
        with pytest.raises(PlanError):
            from_ties((0.0, 0.0), first_m, at, 1.0)
