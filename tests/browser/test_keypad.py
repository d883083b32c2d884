"""Numbers on a phone: a keypad at first, and keys for what a keypad cannot write."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from playwright.sync_api import expect

from registry.models.choices import Role
from tests.browser.conftest import DESK, PHONE, session_cookie
from tests.browser.test_pages import AXE
from tests.browser.test_people import is_as_wide_as_the_phone, small_targets
from tests.factories import MembershipFactory, SeatFactory, SpotFactory

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def seat():
    row = SeatFactory(organisation=MembershipFactory().organisation, role=Role.MANAGER)
    SpotFactory(pavement=row.pavement, name="M", stratum="field")
    return row


@pytest.fixture
def path(seat):
    return reverse("infiltration_test_add", args=[seat.pavement_id])


@pytest.fixture
def person(seat):
    return seat.organisation.memberships.get().person


def test_keys_write_the_kinds_of_empty_and_give_back_what_stood_there(open_page, path, person):
    page = open_page(path, person, size=PHONE)
    water = page.get_by_label("water poured", exact=True)
    keys = page.get_by_role("toolbar", name="Keys for water poured")
    water.fill("8.00")
    keys.get_by_role("button", name="not measured").click()
    expect(water).to_have_value("nm")
    expect(keys.get_by_role("button", name="not measured")).to_have_attribute(
        "aria-pressed", "true"
    )
    keys.get_by_role("button", name="not measured").click()
    expect(water).to_have_value("8.00")
    for word, code in (("not known", "nk"), ("does not apply", "na")):
        keys.get_by_role("button", name=word).click()
        expect(water).to_have_value(code)


def test_letters_change_the_keyboard_and_back(open_page, path, person):
    page = open_page(path, person, size=PHONE)
    water = page.get_by_label("water poured", exact=True)
    expect(water).to_have_attribute("inputmode", "decimal")
    letters = page.get_by_role("toolbar", name="Keys for water poured").get_by_role(
        "button", name="letters"
    )
    letters.click()
    expect(water).to_be_focused()
    expect(water).to_have_attribute("inputmode", "text")
    expect(letters).to_have_attribute("aria-pressed", "true")
    letters.click()
    expect(water).to_have_attribute("inputmode", "decimal")


def test_minutes_and_seconds_are_written_on_the_keypad(open_page, path, person):
    page = open_page(path, person, size=PHONE)
    time = page.get_by_label("time until no water stands", exact=True)
    time.press_sequentially("3")
    page.get_by_role("toolbar", name="Keys for time until no water stands").get_by_role(
        "button", name="between minutes and seconds"
    ).click()
    page.keyboard.type("42")
    expect(time).to_have_value("3:42")


def test_row_of_keys_is_one_stop_of_the_tab_key(open_page, path, person):
    page = open_page(path, person, size=DESK)
    page.get_by_label("water poured", exact=True).focus()
    keys = page.get_by_role("toolbar", name="Keys for water poured")
    page.keyboard.press("Tab")
    expect(keys.get_by_role("button", name="not known")).to_be_focused()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    expect(page.get_by_label("water poured", exact=True)).to_have_value("nm")
    page.keyboard.press("Tab")
    expect(page.get_by_label("time until no water stands", exact=True)).to_be_focused()


def test_without_the_script_the_whole_keyboard_comes(chromium, live_server, path, person):
    context = chromium.new_context(java_script_enabled=False, base_url=live_server.url)
    context.add_cookies([session_cookie(person, live_server.url)])
    page = context.new_page()
    page.goto(path)
    expect(page.get_by_label("water poured")).to_have_attribute("inputmode", "text")
    expect(page.get_by_role("toolbar")).to_have_count(0)
    context.close()


@pytest.mark.parametrize("name", ["infiltration_test_add", "cleaning_add", "pavement_correct"])
def test_keys_fit_a_thumb_and_have_no_known_barrier(open_page, seat, person, name):
    page = open_page(reverse(name, args=[seat.pavement_id]), person, size=PHONE)
    for folded in page.locator("main details:not([open]) > summary").all():
        folded.click()
    assert small_targets(page) == []
    assert is_as_wide_as_the_phone(page)
    found = Axe().run(page, options=AXE)
    assert found.violations_count == 0, found.generate_report()


def test_hints_name_the_unit_that_is_chosen_on_the_form(open_page, path, person):
    page = open_page(path, person, size=PHONE)
    hint = page.locator("#id_water_helptext")
    expect(hint).to_have_text("unit lb, unless you write another")
    page.locator("select[name=system]").select_option("si")
    expect(hint).to_have_text("unit kg, unless you write another")
