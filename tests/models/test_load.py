"""A load has a number of its own on its day, a volume, and times in their order."""

from datetime import timedelta

import pytest

from registry.models import Load, LoadMove
from tests.models.refusals import AT, DAY, VOID, refused
from tests.placing_factories import LoadFactory, SpreadFactory

pytestmark = pytest.mark.django_db

BEFORE = AT - timedelta(minutes=1)


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("load_void_has_reason", LoadFactory, VOID),
        ("load_has_a_volume", LoadFactory, {"volume_m3": 0}),
        ("load_water_is_not_below_0", LoadFactory, {"batch_water_kg": -1}),
        ("load_water_is_not_below_0", LoadFactory, {"free_moisture_kg": -1}),
        ("load_water_is_not_below_0", LoadFactory, {"site_water_l": -1}),
        (
            "load_discharged_after_it_was_batched",
            LoadFactory,
            {"batched_at": AT, "discharge_from_at": BEFORE},
        ),
        ("spread_void_has_reason", SpreadFactory, VOID),
        ("spread_runs_up", SpreadFactory, {"from_m": 3.0, "to_m": 3.0}),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)


def test_number_is_used_again_only_after_its_load_is_void():
    old = LoadFactory()
    again = {"number": old.number, "placing_day": old.placing_day}
    refused("load_number_once_a_day", LoadFactory, **again)
    Load.objects.update(void_at=AT, void_why="typed twice")
    LoadFactory(**again)


def test_move_back_says_why():
    given = {"load": LoadFactory(), "to_state": "arrived", "on": DAY, "is_back": True}
    refused("load_move_back_says_why", LoadMove.objects.create, **given)
    assert LoadMove.objects.create(**given, why="misread").to_word == "arrived"


def test_load_sent_back_is_not_placed():
    kept, back = LoadFactory(state="accepted"), LoadFactory(state="sent_back")
    assert list(Load.objects.placed()) == [kept]
    assert str(back) == f"load {back.number}"
