"""The share of the surface measured at the last visit: random spots alone, each once."""

from datetime import date

import pytest

from registry.gathering.condition import condition_of
from registry.gathering.measured_share import NO_RANDOM, measured_share
from tests import factories
from tests.gathering.test_test_days import put_spots

TODAY = date(2026, 6, 1)


@pytest.fixture
def pavement(db):
    row = factories.PavementFactory(area_m2=535.12)
    factories.CriteriaFactory(pavement=row)
    return row


def found(pavement):
    return measured_share(condition_of(pavement, viewpoint="holder", today=TODAY))


def draw(pavement):
    pavement.spots.update(is_fixed=False)


def test_no_test_gives_no_share(pavement):
    assert found(pavement) is None


def test_none_of_three_below_may_be_up_to_54_percent_by_stratum(pavement):
    # 1 - 0.1^(1/3) = 0.536: Clopper and Pearson, Biometrika 26 (1934) 404-413
    put_spots(pavement, [100, 200, 400])
    put_spots(pavement, [0.01, 200], stratum="run_on_edge")
    draw(pavement)
    (edge, at_edge), (field, away) = found(pavement).strata
    assert (edge, at_edge.below, at_edge.n) == ("run_on_edge", 1, 2)
    assert at_edge.upper_90 == pytest.approx(0.9487, abs=1e-4)  # 1 of 2: 1 - p^2 = 0.1
    assert (field, away.below, away.n) == ("field", 0, 3)
    assert away.upper_90 == pytest.approx(1 - 0.1 ** (1 / 3))


def test_fixed_points_are_no_sample_of_the_surface(pavement):
    put_spots(pavement, [0.01, 200])
    assert (found(pavement).why_not, found(pavement).strata) == (NO_RANDOM, ())


def test_only_the_last_visit_counts(pavement):
    put_spots(pavement, [0.01, 0.01], on=date(2025, 5, 12))
    put_spots(pavement, [200], stratum="wheel_path")
    draw(pavement)
    assert [(kind, s.below, s.n) for kind, s in found(pavement).strata] == [("wheel_path", 0, 1)]


def test_a_bound_that_straddles_the_level_is_undecided(pavement):
    put_spots(pavement, [400], sign="<")
    draw(pavement)
    ((_, share),) = found(pavement).strata
    assert (share.below, share.undecided, share.upper_90) == (0, 1, 1.0)


def test_without_an_action_level_the_reason_stands_there(db):
    pavement = factories.PavementFactory()
    put_spots(pavement, [100, 200, 400])
    draw(pavement)
    assert found(pavement).why_not
    assert found(pavement).strata == ()
