"""A plan has sizes above 0, wastes less than a whole load, and writes a limit of its own down."""

import pytest

from registry.models import PourPlan
from tests.models.refusals import VOID, refused
from tests.placing_factories import PourPlanFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("pour_plan_void_has_reason", VOID),
        ("pour_plan_sizes_are_above_0", {"thickness_mm": 0}),
        ("pour_plan_sizes_are_above_0", {"load_m3": 0}),
        ("pour_plan_sizes_are_above_0", {"placing_speed_m_min": -1}),
        ("pour_plan_minutes_are_not_below_0", {"cover_min": -1}),
        ("pour_plan_minutes_are_not_below_0", {"plant_min": -1}),
        ("pour_plan_minutes_are_not_below_0", {"cover_within_min": -1}),
        ("pour_plan_minutes_are_not_below_0", {"batch_to_discharge_min": -1}),
        ("pour_plan_wastes_less_than_all", {"wasted_percent": 100}),
        ("pour_plan_wastes_less_than_all", {"wasted_percent": -1}),
        ("pour_plan_own_limit_is_written", {"limit_by": "own"}),
        ("pour_plan_own_limit_is_written", {"limit_by": "own", "drying_limit_kg_m2_h": 0}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, PourPlanFactory, **fields)


def test_the_next_day_stands_first():
    old, new = PourPlanFactory(planned_on="2023-08-22"), PourPlanFactory(planned_on="2023-08-24")
    assert list(PourPlan.objects.in_order()) == [new, old]
