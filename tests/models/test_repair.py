"""A squared extent is not smaller than the measured one, and new follows old."""

import pytest

from registry.models import Repair, RepairMove
from tests.models.refusals import DAY, DAY_BEFORE, VOID, refused
from tests.placing_factories import RepairFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("repair_void_has_reason", RepairFactory, VOID),
        ("repair_squared_is_not_smaller", RepairFactory, {"measured_m2": 3, "squared_m2": 2}),
        ("repair_squared_is_not_smaller", RepairFactory, {"measured_m": 3, "squared_m": 2}),
        ("repair_new_concrete_follows_old", RepairFactory, {"out_on": DAY, "in_on": DAY_BEFORE}),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)


def test_move_back_says_why():
    given = {"repair": RepairFactory(), "to_state": "ordered", "on": DAY, "is_back": True}
    refused("repair_move_back_says_why", RepairMove.objects.create, **given)
    RepairMove.objects.create(**given, why="frost came")


def test_repair_is_under_way_until_accepted():
    going = RepairFactory(state="curing")
    RepairFactory(state="accepted")
    assert list(Repair.objects.under_way()) == [going]
