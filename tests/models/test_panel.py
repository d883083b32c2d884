"""A panel has a size, an end after its begin, and a name of its own while it is there."""

import pytest

from registry.models import Edge, Joint, Panel
from registry.models.panel import plan_order
from tests.factories import PanelFactory, PavementFactory
from tests.models.refusals import DAY, DAY_BEFORE, VOID, refused

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("panel_void_has_reason", VOID),
        ("panel_has_a_size", {"width_m": 0}),
        ("panel_has_a_size", {"length_m": -1}),
        ("panel_ends_after_it_begins", {"exists_from_on": DAY, "exists_to_on": DAY_BEFORE}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, PanelFactory, **fields)


def test_name_is_used_again_only_after_its_panel_ended():
    old = PanelFactory(name="A4")
    again = {"pavement": old.pavement, "name": "A4"}
    refused("panel_name_once_at_a_time", PanelFactory, **again)
    Panel.objects.update(exists_to_on=DAY)
    PanelFactory(**again)
    PanelFactory(name="A4")


def test_void_joint_and_edge_say_why():
    joint = {"pavement": PavementFactory(), "between": "A1 A2", "kind": "sawn"}
    refused("joint_void_has_reason", Joint.objects.create, **joint, **VOID)
    edge = {"panel": PanelFactory(), "side": "left", "against": "curb"}
    refused("edge_void_has_reason", Edge.objects.create, **edge, **VOID)


def test_panel_is_there_from_its_first_day_up_to_its_end():
    panel = PanelFactory(exists_from_on=DAY_BEFORE, exists_to_on=DAY)
    assert Panel.objects.existing_on(DAY_BEFORE).get() == panel
    assert not Panel.objects.existing_on(DAY).exists()


def test_names_are_sorted_as_they_stand_on_a_plan():
    assert sorted(["B1", "A10", "A2b", "A2a", "A2"], key=plan_order) == [
        "A2", "A2a", "A2b", "A10", "B1",
    ]  # fmt: skip
