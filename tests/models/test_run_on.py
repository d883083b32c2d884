"""Ground that drains onto a pavement has an area and a coefficient that is a share."""

import pytest

from registry.models import RunOnArea
from tests.factories import PavementFactory
from tests.models.refusals import BACKWARD, DAY, DAY_BEFORE, NO_SPAN, VOID, refused

pytestmark = pytest.mark.django_db


def make(**fields):
    return RunOnArea.objects.create(pavement=PavementFactory(), kind="roof", **fields)


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("run_on_void_has_reason", VOID),
        ("run_on_coefficient_is_a_share", {"runoff_coefficient": 1.01}),
        ("run_on_coefficient_is_a_share", {"runoff_coefficient": -0.01}),
        ("run_on_area_is_positive", {"area_m2": 0}),
        ("run_on_from_before_to", BACKWARD),
        ("run_on_from_before_to", NO_SPAN),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, make, **fields)


def test_area_holds_from_its_first_day_up_to_its_end():
    row = make(from_on=DAY_BEFORE, to_on=DAY)
    assert RunOnArea.objects.on(DAY_BEFORE).get() == row
    assert not RunOnArea.objects.on(DAY).exists()


def test_soil_is_told_from_paved_ground():
    soil = {kind for kind in ("roof", "asphalt", "gravel", "bed", "lawn", "slope", "bare_soil")
            if RunOnArea(kind=kind).is_soil}  # fmt: skip
    assert soil == {"bed", "lawn", "slope", "bare_soil"}
