"""The last day of a part's cover, and the parts that have none."""

from datetime import UTC, date, datetime

import pytest

from registry.gathering.warranty_terms import last_day_of
from registry.models import Warranty, WarrantyPart
from registry.placing.faults import NotGiven

NOON = datetime(2025, 7, 1, 12, tzinfo=UTC)


def part(**more):
    """A year from 2025-06-06, of terms that stand."""
    given = {"warranty": Warranty(), "name": "replaced panels", "years": 1, **more}
    return WarrantyPart(start_on=date(2025, 6, 6), **given)


def test_part_that_stands_has_its_last_day():
    assert last_day_of(part()) == date(2026, 6, 5)


@pytest.mark.parametrize(
    ("row", "why"),
    [
        (None, "none entered"),
        (part(void_at=NOON), "“replaced panels” is void"),
        (part(double_of_id=7), "“replaced panels” is a double of another"),
        (part(warranty=Warranty(void_at=NOON)), "its warranty is void"),
        (part(warranty=Warranty(double_of_id=7)), "its warranty is a double of another"),
    ],
)
def test_part_that_is_void_or_a_double_has_no_last_day(row, why):
    assert isinstance(last_day_of(row), NotGiven) and why in last_day_of(row).reason
