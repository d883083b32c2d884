"""Each part that takes dirt in its own way stands once in the record of a pavement."""

import pytest

from registry.models import Stratum
from tests.factories import PavementFactory
from tests.models.refusals import AT, VOID, refused

pytestmark = pytest.mark.django_db


def make(pavement=None, **fields):
    return Stratum.objects.create(
        pavement=pavement or PavementFactory(), kind="run_on_edge", **fields
    )


def test_void_stratum_says_why():
    refused("stratum_void_has_reason", make, **VOID)


def test_stratum_stands_once_at_a_pavement_until_it_is_void():
    old = make()
    refused("stratum_once_in_a_pavement", make, pavement=old.pavement)
    Stratum.objects.update(void_at=AT, void_why="drawn wrongly")
    make(old.pavement)
