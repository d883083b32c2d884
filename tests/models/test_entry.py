"""What every entry carries: text as written, three kinds of empty, standing, days it holds."""

import pytest

from registry.models import Criteria, Pavement
from tests.factories import CriteriaFactory, PavementFactory
from tests.models.refusals import AT, DAY, DAY_BEFORE

pytestmark = pytest.mark.django_db


def test_text_as_written_is_kept_beside_the_value():
    row = PavementFactory(as_written={"area_m2": "602 ft2"})
    assert (row.written("area_m2"), row.written("name")) == ("602 ft2", "")


@pytest.mark.parametrize(
    ("empties", "value", "words"),
    [
        ({}, None, "not filled in yet"),
        ({"thickness_mm": "nk"}, None, "not known"),
        ({"thickness_mm": "nm"}, None, "not measured"),
        ({"thickness_mm": "nk"}, 150.0, ""),
        ({}, 0.0, ""),
    ],
)
def test_kind_of_empty_is_told_only_where_the_field_is_empty(empties, value, words):
    assert Pavement(empties=empties, thickness_mm=value).kind_of_empty("thickness_mm") == words


def test_standing_is_what_is_neither_void_nor_a_double():
    there = PavementFactory()
    PavementFactory(void_at=AT, void_why="twice")
    PavementFactory(double_of=there)
    assert Pavement.objects.standing().get() == there


@pytest.mark.parametrize(
    ("span", "holds"),
    [
        ({}, True),
        ({"from_on": DAY}, True),
        ({"to_on": DAY}, False),
        ({"from_on": DAY_BEFORE, "to_on": DAY}, False),
    ],
)
def test_dated_entry_holds_from_its_day_up_to_its_end_and_open_ends_for_ever(span, holds):
    CriteriaFactory(**span)
    assert Criteria.objects.on(DAY).exists() == holds
