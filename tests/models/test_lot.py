"""A lot has a name of its own at a pavement."""

import pytest

from registry.models import Lot, LotMove
from tests.models.refusals import AT, DAY, VOID, refused
from tests.placing_factories import LotFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("lot_void_has_reason", LotFactory, VOID),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)


def test_name_is_used_again_only_after_its_lot_is_void():
    old = LotFactory()
    again = {"name": old.name, "pavement": old.pavement}
    refused("lot_name_once", LotFactory, **again)
    Lot.objects.update(void_at=AT, void_why="drawn wrong")
    LotFactory(**again)


def test_move_back_says_why():
    given = {"lot": LotFactory(), "to_state": "waiting", "on": DAY, "is_back": True}
    refused("lot_move_back_says_why", LotMove.objects.create, **given)
    LotMove.objects.create(**given, why="tests were of another lot")
