"""Choices of panels and spots stand in the order in which people look for them."""

from datetime import date

import pytest

from registry.forms.row_choice import PanelsField, SpotField
from registry.models import Panel, Spot
from tests.factories import PanelFactory, PavementFactory, SpotFactory


@pytest.mark.django_db
def test_panels_stand_in_the_order_of_the_plan():
    lot = PavementFactory()
    for name in ("C1", "D2", "A10", "A2", "B1", "A1", "A1b"):
        PanelFactory(pavement=lot, name=name)
    field = PanelsField(queryset=Panel.objects.all())
    assert [label for _, label in field.choices] == ["A1", "A1b", "A2", "A10", "B1", "C1", "D2"]


@pytest.mark.django_db
def test_spots_that_ended_say_so_and_stand_last():
    lot = PavementFactory()
    SpotFactory(pavement=lot, name="A", ended_on=date(2025, 3, 4), ended_why="panel replaced")
    SpotFactory(pavement=lot, name="B", ended_on=date(2026, 1, 2), ended_why="trench")
    for name in ("U10", "U2", "A"):
        SpotFactory(pavement=lot, name=name)
    field = SpotField(queryset=Spot.objects.all(), empty_label="choose the spot")
    assert [label for _, label in field.choices] == [
        "choose the spot",
        "A",
        "U2",
        "U10",
        "B, ended 2026-01-02",
        "A, ended 2025-03-04",
    ]
