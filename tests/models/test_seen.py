"""What a writer saw travels with a form as signed plain values, and comes back the same."""

import pytest
from django.db import models

from registry.models import Pavement
from registry.models.seen import (
    SIGNER,
    plain_value,
    read_seen,
    snapshot,
    value_from_plain,
    write_seen,
)
from tests.factories import PavementFactory
from tests.models.refusals import DAY

pytestmark = pytest.mark.django_db
NAMES = ("name", "area_m2", "placed_on", "site", "thickness_mm", "as_written")


def test_values_come_back_as_they_were():
    row = PavementFactory(placed_on=DAY, as_written={"area_m2": "602 ft2"})
    seen = read_seen(write_seen(snapshot(row, NAMES)))
    assert seen == snapshot(row, NAMES)
    for name in NAMES:
        assert value_from_plain(row, name, seen[name]) == getattr(row, name)


def test_empty_field_is_none_and_zero_is_not():
    assert plain_value(Pavement(thickness_mm=None), "thickness_mm") is None
    assert plain_value(Pavement(thickness_mm=0.0), "thickness_mm") == "0.0"


def test_same_snapshot_gives_the_same_text_in_whatever_order():
    assert write_seen({"a": "1", "b": "2"}) == write_seen({"b": "2", "a": "1"})


@pytest.mark.parametrize("change", [lambda t: "", lambda t: t[:-1], lambda t: "x" + t])
def test_text_that_is_none_of_ours_is_no_snapshot(change):
    text = write_seen(snapshot(PavementFactory(), NAMES))
    assert read_seen(change(text)) is None
    assert read_seen(SIGNER.sign_object(["no snapshot"])) is None


def test_row_that_a_field_names_comes_back_as_a_row():
    row = PavementFactory()
    found = value_from_plain(row, "site", plain_value(row, "site"))
    assert isinstance(found, models.Model) and found == row.site
