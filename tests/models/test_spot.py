"""A spot's name is its own while it is there; a draw has a number for ever."""

import pytest

from registry.models import Spot, SpotDraw
from tests.factories import PavementFactory, SpotFactory
from tests.models.refusals import AT, DAY, VOID, refused

pytestmark = pytest.mark.django_db


def draw(pavement=None, **fields):
    given = {"number": 1, "drawn_on": DAY, "seed": 7, "required_count": 3, "counted_in": "si"}
    return SpotDraw.objects.create(
        pavement=pavement or PavementFactory(), result={}, **given | fields
    )


def test_void_spot_and_draw_say_why():
    refused("spot_void_has_reason", SpotFactory, **VOID)
    refused("draw_void_has_reason", draw, **VOID)


@pytest.mark.parametrize("over", [{"ended_on": DAY}, {"void_at": AT, "void_why": "twice"}])
def test_name_is_used_again_only_after_its_spot_is_over(over):
    old = SpotFactory(name="U")
    refused("spot_name_once_at_a_time", SpotFactory, pavement=old.pavement, name="U")
    Spot.objects.update(**over)
    SpotFactory(pavement=old.pavement, name="U")


def test_draw_keeps_its_number():
    old = draw(void_at=AT, void_why="drawn on the wrong plan")
    refused("draw_number_once", draw, pavement=old.pavement)
    draw(old.pavement, number=2)


def test_fixed_points_are_neither_drawn_nor_ended_nor_void():
    there = SpotFactory()
    SpotFactory(is_fixed=False)
    SpotFactory(ended_on=DAY)
    SpotFactory(void_at=AT, void_why="twice")
    assert Spot.objects.fixed().get() == there
