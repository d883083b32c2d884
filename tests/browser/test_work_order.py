"""Work orders in a real browser: rows tapped on the plan, the whole job by keyboard, every page."""

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from registry.actions.invent_portfolio import invent_portfolio
from registry.actions.refresh_outlooks import refresh_outlooks
from registry.models import Outlook, PrintedSheet, WorkOrder
from tests import factories
from tests.browser.conftest import DESK, PHONE
from tests.browser.test_every_page import faults_of
from tests.sheets.rows_of_lot import lot_of
from tests.views.record import manager_of

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SIZES = pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])


@pytest.fixture
def kept(transactional_db):
    """A lot of two lanes of three panels, and its manager."""
    return manager_of(lot_of(2, 3))


@pytest.fixture
def order(kept):
    lot, person = kept
    keeper = person.organisations.get()
    given = {"organisation": keeper, "method": "vacuum", "covers_all": False, "rows_text": "A"}
    row = factories.WorkOrderFactory(
        pavement=lot, state="dated", dated_for=timezone.localdate(), **given
    )
    for panel in lot.panels.filter(name__startswith="A"):
        row.panels.create(panel=panel)
    return row


def tapped(page, name):
    """Tap a panel by the place of its box among the boxes: both stand in the plan's order."""
    names = [label.strip() for label in page.locator("[name=panels] >> xpath=..").all_inner_texts()]
    page.locator(".picker__panel").nth(names.index(name)).click()


@SIZES
def test_rows_are_tapped_once_and_twice_and_stored(open_page, kept, size):
    lot, person = kept
    page = open_page(reverse("work_order_add", args=[lot.pk]), person=person, size=size)
    told = page.locator("[data-picker-told]")
    expect(told).to_have_text("The whole pavement.")
    page.get_by_role("button", name="B", exact=True).click()
    tapped(page, "A1")
    tapped(page, "A1")
    tapped(page, "B2")
    tapped(page, "B2")
    expect(told).to_have_text("A1 twice, B1, B3")
    expect(page.get_by_label("the whole pavement")).not_to_be_checked()
    page.get_by_label("method").select_option("vacuum")
    page.get_by_role("button", name="Store", exact=True).click()
    page.wait_for_url("**/work-orders/*/")
    row = WorkOrder.objects.get()
    parts = {(part.panel.name, part.is_twice) for part in row.panels.all()}
    assert parts == {("A1", True), ("B1", False), ("B3", False)}


def test_box_ticked_by_hand_shows_on_the_plan(open_page, kept):
    lot, person = kept
    page = open_page(reverse("work_order_add", args=[lot.pk]), person=person)
    page.locator("[name=panels]").nth(0).check()
    expect(page.locator(".picker__panel.is-once")).to_have_count(1)
    page.locator("[name=twice]").nth(0).check()
    expect(page.locator(".picker__panel.is-twice")).to_have_count(1)


def press_until(page, locator, key="Tab", most=120):
    """Press a key until a thing has the focus, as one without a mouse does."""
    for _ in range(most):
        page.keyboard.press(key)
        if locator.evaluate("it => it === document.activeElement"):
            return
    raise AssertionError(f"{locator} is not reached by {key}")


def test_order_is_done_in_part_by_keyboard_alone(open_page, kept, order):
    page = open_page(reverse("work_order_page", args=[order.pk]), person=kept[1])
    press_until(page, page.get_by_role("link", name="Write down what was done"))
    page.keyboard.press("Enter")
    page.wait_for_url("**/done/")
    press_until(page, page.get_by_role("radio", name="done", exact=True))
    page.keyboard.press("ArrowDown")
    expect(page.get_by_role("radio", name="done in part")).to_be_checked()
    told = page.locator("[data-picker-told]")
    expect(told).to_have_text("None is left out.")
    press_until(page, page.locator("[name=missed]").nth(2))
    page.keyboard.press("Space")
    expect(told).to_have_text("Not done: A3")
    press_until(page, page.locator("[name=missed_why]"))
    page.keyboard.type("a car stood there")
    press_until(page, page.get_by_role("button", name="Store", exact=True))
    page.keyboard.press("Enter")
    page.wait_for_url(f"**{reverse('work_order_page', args=[order.pk])}")
    order.refresh_from_db()
    missed = order.cleanings.get().panels.get(is_missed=True)
    assert (order.state, missed.panel.name, missed.why) == ("in_part", "A3", "a car stood there")


def test_rows_of_a_stored_order_are_put_right_on_a_phone(open_page, kept, order):
    page = open_page(reverse("work_order_rows", args=[order.pk]), person=kept[1], size=PHONE)
    expect(page.locator("[data-picker-told]")).to_have_text("A1, A2, A3")
    tapped(page, "A2")
    tapped(page, "A2")
    page.get_by_label("because").fill("a truck stands on A2")
    page.get_by_role("button", name="Store the rows").click()
    page.wait_for_url(f"**{reverse('work_order_page', args=[order.pk])}")
    assert set(order.panels.values_list("panel__name", flat=True)) == {"A1", "A3"}


@SIZES
def test_pages_of_an_order_with_rows_are_accessible_and_fit(open_page, kept, order, size):
    lot, person = kept
    machine = factories.MachineFactory(organisation=order.organisation)
    factories.CleaningFactory(pavement=lot, work_order=order, swept_with=machine)
    sheet = PrintedSheet.objects.create(
        number="SWP-0001", kind="sweep", pavement=lot, system="si", paper="a4",
        content={"order": order.number},
    )  # fmt: skip
    paths = [
        reverse("work_order_add", args=[lot.pk]),
        reverse("sheet_page", args=[sheet.number]),
        reverse("sweep_copy_in", args=[sheet.number]),
        *(
            reverse(f"work_order_{name}", args=[order.pk])
            for name in ("page", "rows", "done", "call_off", "correct", "move", "sheet")
        ),
        reverse("work_order_list"),
        reverse("machine_page", args=[machine.pk]),
        reverse("method_recovery"),
    ]
    page = open_page(paths[0], person=person, size=size)
    faults = {}
    for path in paths:
        assert page.goto(path).ok, path
        if found := faults_of(page, size):
            faults[path] = found
    assert faults == {}


@SIZES
def test_season_with_its_picture_is_accessible_and_fits(open_page, transactional_db, size):
    today = timezone.localdate()
    owner = invent_portfolio(pavements=8, seed=5, as_of=today)
    list(refresh_outlooks(as_of=today))
    member = factories.MembershipFactory(organisation=owner)
    outlook = Outlook.objects.filter(why_not="").first()
    factories.WorkOrderFactory(
        pavement=outlook.pavement, organisation=owner, state="dated", dated_for=today
    )
    address = reverse("season_plan_page", args=[owner.pk])
    page = open_page(f"{address}?months=12", person=member.person, size=size)
    expect(page.locator("figure svg")).to_be_visible()
    assert faults_of(page, size) == []


@SIZES
def test_crew_with_orders_is_accessible_and_fits(open_page, kept, order, size):
    crew = factories.CrewFactory(organisation=order.organisation)
    order.crew = crew
    order.save(update_fields=["crew"])
    page = open_page(reverse("crew_page", args=[crew.pk]), person=kept[1], size=size)
    expect(page.get_by_role("link", name=order.number)).to_be_visible()
    assert faults_of(page, size) == []
