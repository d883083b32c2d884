"""A hand-over is in effect once both signed and its hour has come."""

from datetime import timedelta

import pytest

from registry.models import HandOver, HandOverMove
from tests.models.refusals import DAY, VOID, refused
from tests.placing_factories import HandOverFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("hand_over_void_has_reason", HandOverFactory, VOID),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)


def test_move_back_says_why():
    given = {"hand_over": HandOverFactory(), "to_state": "drawn_up", "on": DAY, "is_back": True}
    refused("hand_over_move_back_says_why", HandOverMove.objects.create, **given)
    HandOverMove.objects.create(**given, why="a line was wrong")


def test_hand_over_is_in_effect_from_its_hour():
    row = HandOverFactory(state="in_effect")
    HandOverFactory(state="taker")
    assert list(HandOver.objects.in_effect(row.effective_at)) == [row]
    assert not HandOver.objects.in_effect(row.effective_at - timedelta(seconds=1)).exists()
