"""Spots and condition words as marks on the plan."""

from datetime import date

import pytest

from registry.actions.judge_tests import judge_tests
from registry.gathering.condition import condition_of
from registry.gathering.plan_marks import spot_marks, state_areas
from registry.models import Stratum
from registry.units import System
from tests.factories import (
    CriteriaFactory,
    InfiltrationTestFactory,
    PanelFactory,
    PavementFactory,
    SpotFactory,
)

pytestmark = pytest.mark.django_db
ON = date(2022, 6, 1)


@pytest.fixture
def lot():
    lot = PavementFactory()
    CriteriaFactory(pavement=lot)
    return lot


def marks(lot, system=System.INCH_POUND):
    condition = condition_of(lot, viewpoint="holder", today=ON)
    return spot_marks(lot.spots.select_related("panel"), condition.days, system=system)


def test_spot_stands_at_its_place_with_its_newest_result(lot):
    spot = SpotFactory(pavement=lot, name="U", right_m=1.5, up_m=2.5)
    for year, seconds in ((2021, 30.0), (2022, 60.0)):
        InfiltrationTestFactory(
            pavement=lot, spot=spot, started_on=date(year, 5, 2), seconds=seconds
        )
    judge_tests([lot.pk])
    (mark,) = marks(lot)
    assert (mark.name, mark.at, mark.value) == ("U", (1.5, 2.5), "587 in/h")
    assert mark.title == "Spot U: 587 in/h, 2022-05-02"


def test_spot_of_which_only_the_panel_is_known_says_so(lot):
    panel = PanelFactory(pavement=lot, name="D6", right_m=3.0, up_m=6.0, width_m=2.0, length_m=4.0)
    SpotFactory(pavement=lot, name="U", panel=panel)
    (mark,) = marks(lot)
    assert mark.at == (4.0, 8.0)
    assert mark.title == "Spot U, somewhere in panel D6, no usable result yet"


def test_spot_without_a_place_and_one_that_ended_are_left_out(lot):
    SpotFactory(pavement=lot)
    SpotFactory(pavement=lot, right_m=1.0, up_m=1.0, ended_on=date(2022, 1, 1))
    assert marks(lot) == ()


def test_condition_lies_over_the_rectangles_of_its_stratum(lot):
    Stratum.objects.create(
        pavement=lot, kind="run_on_edge", rectangles=[[0.0, 0.0, 3.0, 10.0], [5.0, 0.0, 1.0, 2.0]]
    )
    Stratum.objects.create(pavement=lot, kind="field")
    condition = condition_of(lot, viewpoint="holder", today=ON)
    areas = {a.where: a for a in state_areas(lot.strata.standing(), condition)}
    edge = areas["run-on edge"]
    assert edge.state == "not_decided"
    assert edge.rings == (
        ((0.0, 0.0), (3.0, 0.0), (3.0, 10.0), (0.0, 10.0)),
        ((5.0, 0.0), (6.0, 0.0), (6.0, 2.0), (5.0, 2.0)),
    )
    assert areas["stalls or middle"].rings == ()
