"""The pages of the record in a real browser: they fit a phone, and a plan is drawn by keyboard."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from tests.browser.conftest import DESK, PHONE
from tests.views.record import manager_of

ABOUT_A_PAVEMENT = ("pavement_edit", "pavement_correct", "plan_page", "spot_list", "spot_add")
SIDEWAYS = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


pytestmark = pytest.mark.browser


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_pages_of_the_record_need_no_sideways_scrolling(open_page, size):
    pavement, person = manager_of()
    page = open_page(reverse("pavement_add"), person=person, size=size)
    for name in ABOUT_A_PAVEMENT:
        page.goto(reverse(name, args=[pavement.pk]))
        assert page.evaluate(SIDEWAYS) <= 0, name


def test_plan_is_drawn_by_keyboard_alone(open_page):
    pavement, person = manager_of()
    page = open_page(reverse("plan_add", args=[pavement.pk, "panels"]), person=person, size=PHONE)
    given = {
        "lanes, A on": "2",
        "panels in a lane, 1 on": "3",
        "width of a lane": "12",
        "length of a panel going up": "15",
        "drawn on": "2024-05-01",
    }
    for label, text in given.items():
        page.get_by_label(label).focus()
        page.keyboard.type(text)
    page.keyboard.press("Enter")
    expect(page.locator("figure svg").first).to_be_visible()
    expect(page.get_by_role("link", name="B3", exact=True)).to_be_visible()
    assert pavement.panels.count() == 6
    page.goto(reverse("plan_add", args=[pavement.pk, "panels"]))
    expect(page.get_by_text("was not stored")).to_have_count(0)


def test_pavement_is_added_at_a_site_of_the_list(open_page):
    pavement, person = manager_of()
    page = open_page(reverse("pavement_add"), person=person, size=PHONE)
    page.get_by_label("site", exact=True).select_option(str(pavement.site_id))
    page.get_by_label("name needed").fill("New strip")
    page.get_by_label("kind of surface").select_option("pervious_concrete")
    page.get_by_role("button", name="Store").click()
    expect(page.get_by_role("heading", level=1, name="New strip")).to_be_visible()
    assert pavement.site.pavements.count() == 2
