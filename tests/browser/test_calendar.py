"""The calendar in a real browser: a table at desk width, a list on a phone, all by keyboard."""

from datetime import date

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from tests.browser.conftest import DESK, PHONE
from tests.browser.test_every_page import faults_of
from tests.factories import CrewFactory, CrewHolidayFactory, VisitFactory, WorkOrderFactory
from tests.views.record import manager_of

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
DAY = date(2026, 9, 14)
MONTH = "/calendar/?month=2026-09"


@pytest.fixture
def person():
    pavement, person = manager_of()
    firm = person.organisations.get()
    crew = CrewFactory(organisation=firm)
    given = {"pavement": pavement, "organisation": firm, "sweeper": firm, "crew": crew}
    for n in range(6):
        WorkOrderFactory(state="dated", dated_for=DAY, number=f"W-{n}", **given)
    WorkOrderFactory(state="approved", latest_on=date(2026, 9, 16), pavement=pavement)
    CrewHolidayFactory(organisation=firm, first_on=date(2026, 9, 17), last_on=date(2026, 9, 18))
    VisitFactory(pavement=pavement, state="done", next_due_on=date(2026, 9, 16))
    return person


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_full_month_and_day_are_accessible_and_fit(open_page, person, size):
    page = open_page(MONTH, person=person, size=size)
    assert faults_of(page, size) == []
    page.goto(reverse("calendar_day", args=[DAY]))
    assert faults_of(page, size) == []


def test_phone_lists_only_days_on_which_something_stands(open_page, person):
    page = open_page(MONTH, person=person, size=PHONE)
    expect(page.locator(".month__number:visible")).to_have_text(
        ["Mon 14 September", "Wed 16 September", "Thu 17 September", "Fri 18 September"]
    )


def test_desk_shows_whole_weeks(open_page, person):
    page = open_page(MONTH, person=person, size=DESK)
    expect(page.locator(".month__day:visible")).to_have_count(35)
    expect(page.get_by_role("columnheader")).to_have_count(7)


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_month_day_order_and_back_by_keyboard_alone(open_page, person, size):
    page = open_page(MONTH, person=person, size=size)
    page.get_by_role("link", name="Next month").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("October 2026")
    page.get_by_role("link", name="Month before").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("September 2026")
    page.get_by_role("link", name="and 2 more").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Monday 14 September 2026")
    expect(page.locator(".day-things").first.get_by_role("listitem")).to_have_count(6)
    page.get_by_role("link", name="Next day").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Tuesday 15 September 2026")


def test_address_of_a_feed_is_made_and_taken_back(open_page, person):
    firm = person.organisations.get()
    page = open_page(reverse("calendar_feed_list", args=[firm.pk]), person=person, size=PHONE)
    page.get_by_role("button", name="Make an address").click()
    address = page.get_by_label("Address to subscribe to").input_value()
    assert address.endswith("/calendar.ics")
    assert faults_of(page, PHONE) == []
    page.get_by_role("link", name="All calendar feeds").click()
    expect(page.get_by_role("button", name="Take back")).to_be_visible()
    assert faults_of(page, PHONE) == []
    page.get_by_role("button", name="Take back").click()
    expect(page.get_by_role("row", name=str(firm))).to_contain_text("taken back")
