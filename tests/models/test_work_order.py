"""A work order has a number of its own, amounts that can be, and a day once it is dated."""

import pytest

from registry.models import OrderedPanel, WorkOrder
from tests.factories import PanelFactory, WorkOrderFactory
from tests.models.refusals import AT, DAY, DAY_BEFORE, VOID, refused

pytestmark = pytest.mark.django_db

ALL_STATES = [state for state, _ in WorkOrder._meta.get_field("state").flatchoices]


@pytest.mark.parametrize(
    ("rule", "fields"),
    [
        ("work_order_void_has_reason", VOID),
        ("work_order_amounts_are_not_negative", {"area_m2": 0}),
        ("work_order_amounts_are_not_negative", {"set_up_h": -1}),
        ("work_order_amounts_are_not_negative", {"price_agreed": -1}),
        (
            "work_order_latest_day_is_not_before_the_earliest",
            {"earliest_on": DAY, "latest_on": DAY_BEFORE},
        ),
        ("work_order_dated_has_a_day", {"state": "dated"}),
        ("work_order_efficiency_is_a_share", {"efficiency": 0}),
        ("work_order_efficiency_is_a_share", {"efficiency": 1.2}),
    ],
)
def test_what_cannot_be_is_refused(rule, fields):
    refused(rule, WorkOrderFactory, **fields)


def test_number_is_used_again_only_after_its_order_is_void():
    old = WorkOrderFactory()
    again = {"number": old.number, "organisation": old.organisation}
    refused("work_order_number_once_in_an_organisation", WorkOrderFactory, **again)
    WorkOrder.objects.update(void_at=AT, void_why="asked for twice")
    WorkOrderFactory(**again)


def test_panel_is_ordered_once():
    panel = PanelFactory()
    order = WorkOrderFactory(pavement=panel.pavement)
    OrderedPanel.objects.create(order=order, panel=panel, is_twice=True)
    refused("ordered_panel_once", OrderedPanel.objects.create, order=order, panel=panel)


def test_orders_are_open_until_done_or_given_up_and_settled_when_paid():
    for state in ALL_STATES:
        WorkOrderFactory(state=state, dated_for=DAY)
    WorkOrderFactory(state="dated", dated_for=DAY, void_at=AT, void_why="twice")
    rows = WorkOrder.objects
    assert {row.state for row in rows.open()} == {
        "asked_for", "approved", "dated", "in_part", "turned_away", "called_off", "to_redo",
    }  # fmt: skip
    assert {row.state for row in rows.to_settle()} == {"done", "checked", "accepted", "billed"}
    assert [row.state for row in rows.dated_on(DAY)] == ["dated"]
