"""Covers end after they begin."""

from datetime import timedelta

import pytest

from tests.models.refusals import AT, VOID, refused
from tests.placing_factories import (
    CoverBreakFactory,
    CoverFactory,
    CoverWalkFactory,
    EarlyLoadFactory,
    UncoverFactory,
)

pytestmark = pytest.mark.django_db

BEFORE = AT - timedelta(minutes=1)


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("cover_void_has_reason", CoverFactory, VOID),
        (
            "cover_ends_after_it_begins",
            CoverFactory,
            {"first_at": AT, "last_at": BEFORE},
        ),
        ("cover_walk_void_has_reason", CoverWalkFactory, VOID),
        ("cover_break_void_has_reason", CoverBreakFactory, VOID),
        (
            "cover_break_ends_after_it_begins",
            CoverBreakFactory,
            {"from_at": AT, "to_at": BEFORE},
        ),
        ("uncover_void_has_reason", UncoverFactory, VOID),
        ("early_load_void_has_reason", EarlyLoadFactory, VOID),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)
