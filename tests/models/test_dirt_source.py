"""A source of dirt is open until somebody stopped it."""

import pytest

from registry.models import DirtSource
from tests.factories import DirtSourceFactory
from tests.models.refusals import AT, DAY, VOID, refused

pytestmark = pytest.mark.django_db


def test_void_source_says_why():
    refused("dirt_source_void_has_reason", DirtSourceFactory, **VOID)


def test_open_sources_are_neither_stopped_nor_void_nor_doubles():
    there = DirtSourceFactory()
    DirtSourceFactory(stopped_on=DAY)
    DirtSourceFactory(void_at=AT, void_why="next door's")
    DirtSourceFactory(double_of=there)
    assert DirtSource.objects.open().get() == there
