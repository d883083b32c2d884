"""A callback has a number of its own with its contractor."""

import pytest

from registry.models import Callback, CallbackMove
from tests.models.refusals import DAY, VOID, refused
from tests.placing_factories import CallbackFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("callback_void_has_reason", CallbackFactory, VOID),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)


def test_number_is_used_once_with_a_contractor():
    old = CallbackFactory()
    again = {"number": old.number, "contractor": old.contractor}
    refused("callback_number_once_a_contractor", CallbackFactory, **again)


def test_move_back_says_why():
    given = {"callback": CallbackFactory(), "to_state": "received", "on": DAY, "is_back": True}
    refused("callback_move_back_says_why", CallbackMove.objects.create, **given)
    CallbackMove.objects.create(**given, why="typed for another")


def test_open_ones_wait_for_somebody_and_disputes_freeze():
    disputed = CallbackFactory(state="disputed")
    CallbackFactory(state="closed")
    assert list(Callback.objects.open()) == [disputed]
    assert list(Callback.objects.in_dispute()) == [disputed]
    assert disputed.is_open
