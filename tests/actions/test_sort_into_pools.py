"""Each holder of a pavement has a pool of its own."""

from datetime import date

import pytest

from registry.actions.sort_into_pools import make_own_pools
from registry.models import Pool
from tests.factories import PavementFactory, SeatFactory

pytestmark = pytest.mark.django_db
DAY = date(2024, 6, 1)


def test_own_pool_is_made_once_for_each_holder_and_for_nobody_else():
    seat = SeatFactory(pavement=PavementFactory())
    SeatFactory(role="tester")
    assert (make_own_pools(on=DAY), make_own_pools(on=DAY)) == (1, 0)
    assert Pool.objects.get(is_own=True).organisation == seat.organisation
