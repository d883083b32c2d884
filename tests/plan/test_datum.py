import pytest

from registry.plan import Datum, EarthError, PlanError, Tie, check_of_resurvey
from tests.plan.layouts import FT


def joints(*found_ft: float) -> list[tuple[str, float, float]]:
    plan = (12.0, 60.0, 120.0)
    return [
        (f"joint at {at:g}", at * FT, found * FT) for at, found in zip(plan, found_ft, strict=True)
    ]


def test_plan_is_kept_when_every_length_is_within_half_a_foot_in_a_hundred():
    check = check_of_resurvey(132 * FT, 132.66 * FT, joints(12.06, 59.7, 120.6))
    assert check.keep
    assert check.outside == ()


def test_one_joint_out_by_more_than_half_a_foot_in_a_hundred_ends_the_plan():
    check = check_of_resurvey(132 * FT, 132 * FT, joints(12.0, 60.0, 120.7))
    assert not check.keep
    assert [length.name for length in check.outside] == ["joint at 120"]
    assert check.outside[0].difference_m == pytest.approx(0.7 * FT)
    assert check.outside[0].allowed_m == pytest.approx(0.6 * FT)


def test_resurvey_needs_three_joints():
    with pytest.raises(PlanError, match="three joints"):
        check_of_resurvey(40.0, 40.0, joints(12, 60, 120)[:2])


def test_datum_refuses_latitude_first():
    with pytest.raises(EarthError, match="longitude comes first"):
        Datum("cross", lonlat=(41.8, -171.4))


def test_one_tie_does_not_find_the_datum_again():
    assert not Datum("cross", (Tie(5.0, "hydrant"),)).can_be_rebuilt
    assert Datum("cross", (Tie(5.0, "hydrant"), Tie(6.0, "jamb"))).can_be_rebuilt


def test_tie_of_no_length_is_refused():
    with pytest.raises(PlanError, match="hydrant"):
        Tie(0.0, "hydrant")
