"""A move back says why."""

import pytest

from registry.models import WorkOrderMove
from tests.factories import WorkOrderFactory
from tests.models.refusals import DAY, refused

pytestmark = pytest.mark.django_db


def test_move_back_says_why():
    given = {"order": WorkOrderFactory(), "to_state": "approved", "on": DAY, "is_back": True}
    refused("work_order_move_back_says_why", WorkOrderMove.objects.create, **given)
    WorkOrderMove.objects.create(**given, why="rain")
