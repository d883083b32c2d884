"""The manager's whole job in a real browser: with a thumb at 360 px, and by keyboard alone."""

from datetime import date, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect

from registry.actions.judge_tests import judge_tests
from registry.actions.refresh_standing import refresh_standings
from registry.models import InfiltrationTest, Pavement, PrintedSheet, Site
from registry.models.choices import Role
from tests.browser.conftest import DESK, PHONE
from tests.browser.test_people import PASSWORD
from tests.factories import (
    CriteriaFactory,
    InfiltrationTestFactory,
    MembershipFactory,
    NumberFactory,
    PanelFactory,
    PavementFactory,
    PlanFactory,
    SeatFactory,
    SpotFactory,
)

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def manager():
    return MembershipFactory(person__email="ines@example.org", person__password=PASSWORD)


@pytest.fixture
def lot(manager) -> Pavement:
    """A lot under a permit, tested 200 days ago: 141 s, which is 50 in/h, over 20 in/h."""
    row = PavementFactory(
        name="Cooper's Yard north lot", site__name="Cooper's Yard", placed_on=date(2023, 8, 22)
    )
    SeatFactory(pavement=row, organisation=manager.organisation, role=Role.MANAGER)
    NumberFactory(pavement=row, organisation=manager.organisation, number="BC-01")
    CriteriaFactory(
        pavement=row, action_rate_mm_h=508, from_on=date(2023, 1, 1), test_interval_months=6
    )
    plan = PlanFactory(pavement=row, datum="cross on curb", up="entrance")
    panel = PanelFactory(pavement=row, plan=plan, name="A1")
    spot = SpotFactory(pavement=row, panel=panel, name="M", stratum="field")
    tested = timezone.now().date() - timedelta(days=200)
    InfiltrationTestFactory(
        pavement=row,
        spot=spot,
        started_on=tested,
        stratum="field",
        prewet_water=8.0,
        prewet_seconds=60,
        water=8.0,
        seconds=141,
        rain_within_24_h="no",
    )
    judge_tests([row.pk])
    refresh_standings([row.pk])
    return row


def sign_in(page: Page) -> None:
    page.get_by_label("E-mail address").fill("ines@example.org")
    page.get_by_label("Password").fill(PASSWORD)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1, name="What needs me now")).to_be_visible()


def write_run(page: Page, **fields: str) -> None:
    for label, text in fields.items():
        page.get_by_label(label.replace("_", " "), exact=False).first.fill(text)


def test_manager_records_a_doubtful_run_and_prints_a_sheet_on_a_phone(open_page, lot):
    page = open_page(reverse("account_login"), size=PHONE)
    sign_in(page)
    page.get_by_role("link", name=lot.name).first.click()
    expect(page.locator("main")).to_contain_text("working")
    page.get_by_role("link", name="Write down a test").click()
    expect(page.locator(".title-block")).to_contain_text(lot.name)
    fill_clogged_run(page)
    page.get_by_role("button", name="Store").click()
    asked = page.get_by_role("alert")
    expect(asked).to_contain_text("3.63 kg")
    expect(asked).to_be_focused()
    expect(page.get_by_label("water poured", exact=True)).to_have_value("3.63")
    assert InfiltrationTest.objects.count() == 1, "nothing is stored before the answer"
    page.get_by_label("water poured", exact=True).fill("8.00")
    page.get_by_role("button", name="Store").click()
    expect(page.get_by_text("The run is stored.")).to_be_visible()
    expect(page.locator(".big-number")).to_have_text("10 in/h")
    page.get_by_role("link", name=lot.name).click()
    expect(page.locator("main")).to_contain_text("10 in/h at M")
    expect(page.locator("main")).to_contain_text("A usable result is below the action level")
    page.get_by_role("link", name="Print a sheet").click()
    printed = print_sheet(page)
    assert printed.status == 200
    assert printed.headers["content-type"] == "application/pdf"
    assert printed.body().startswith(b"%PDF-")
    assert PrintedSheet.objects.get().pavement == lot


def site_today() -> date:
    return timezone.now().astimezone(ZoneInfo(Site.objects.get().time_zone)).date()


def fill_clogged_run(page: Page) -> None:
    """Fill in a run whose water was written in kg by slip: 8 lb in 705 s are 10 in/h."""
    page.get_by_label("spot", exact=False).first.select_option(label="M")
    page.get_by_label("date").first.fill(site_today().strftime("%Y%m%d"))
    page.get_by_label("rain in the last 24 h").select_option("no")
    page.get_by_label("inside diameter, measured", exact=True).fill("12.00")
    page.get_by_label("prewet water", exact=True).fill("8")
    page.get_by_label("prewet time", exact=True).fill("60 s")
    page.get_by_label("water poured", exact=True).fill("3.63")
    page.get_by_label("time until no water stands", exact=True).fill("705")
    page.get_by_label("ended").first.select_option(label="drained")


def print_sheet(page: Page):
    """Send the form of the page as the button does; the browser's own viewer hides the file."""
    page.get_by_label("infiltration test sheet").check()
    page.get_by_label("with what is known of this pavement").check()
    fields = page.locator("main form").first.evaluate(
        "form => Object.fromEntries(new FormData(form))"
    )
    headers = {"Referer": page.url}
    return page.context.request.post(page.url, form=fields, headers=headers)


def test_manager_answers_what_is_asked_by_keyboard_alone(open_page, lot):
    page = open_page(reverse("account_login"), size=DESK)
    sign_in(page)
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Skip to the content")).to_be_focused()
    page.keyboard.press("Enter")
    walk_to(page, page.locator("main").get_by_role("link", name=lot.name).first)
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1, name=lot.name)).to_be_visible()
    walk_to(page, page.get_by_role("link", name="Write down a test"))
    page.keyboard.press("Enter")
    walk_to(page, page.get_by_label("spot", exact=False).first)
    page.keyboard.press("m")
    walk_to(page, page.get_by_label("date").first)
    page.keyboard.type("2026-13-01")
    page.keyboard.press("Enter")
    alert = page.get_by_role("alert")
    expect(alert).to_be_focused()
    page.keyboard.press("Tab")
    expect(alert.get_by_role("link", name="date")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_label("date").first).to_have_value("2026-13-01")
    assert InfiltrationTest.objects.count() == 1


def walk_to(page: Page, target, most: int = 60) -> None:
    """Press Tab until the target has the focus; fail if it cannot be reached."""
    expect(target).to_be_visible()
    for _ in range(most):
        if target.evaluate("element => element === document.activeElement"):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"{target} cannot be reached with {most} presses of Tab")
