"""The reading pages in a real browser: WCAG 2.2 AA, one column on a phone, keyboard, map, paper."""

from datetime import date, timedelta

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from registry.actions.judge_tests import judge_tests
from registry.actions.refresh_standing import refresh_standings
from registry.models.choices import Role
from tests.browser.conftest import DESK, PHONE, session_cookie
from tests.factories import (
    CleaningFactory,
    CriteriaFactory,
    DirtSourceFactory,
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
AXE = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}


@pytest.fixture
def member():
    return MembershipFactory()


def make_lot(member, n):
    """A lot with a plan, two spots, a bound, a cleaning, and something that asks."""
    lot = PavementFactory(
        name=f"Cooper's Yard lot {n}",
        site__name="Cooper's Yard",
        placed_on=date(2021, 8, 22),
        lon=-71.4 + n / 1000,
        lat=41.8,
        empties={"heavy_trees": "nk"},
    )
    SeatFactory(pavement=lot, organisation=member.organisation, role=Role.MANAGER)
    SeatFactory(
        pavement=lot,
        role=Role.CONTRACTOR,
        warranty_last_on=timezone.now().date() + timedelta(days=30),
    )
    NumberFactory(pavement=lot, organisation=member.organisation, number=f"BC-{n:02}")
    CriteriaFactory(pavement=lot, action_rate_mm_h=317.5, from_on=date(2021, 1, 1))
    PlanFactory(pavement=lot, datum="cross on curb", up="entrance")
    DirtSourceFactory(pavement=lot)
    CleaningFactory(pavement=lot, entered_for=member.organisation)
    for name, seconds, ended in (("U", 1800.0, "stopped"), ("M", 150.0, "drained")):
        right_m = 0.0 if name == "U" else 3.048
        letter = "A" if name == "U" else "B"
        panel = PanelFactory(pavement=lot, name=f"{letter}1", right_m=right_m)
        spot = SpotFactory(pavement=lot, name=name, panel=panel, stratum="field")
        for year in (2024, 2025, 2026):
            InfiltrationTestFactory(
                pavement=lot,
                spot=spot,
                started_on=date(year, 5, 2),
                water=8.0,
                seconds=seconds,
                ended=ended,
                rain_within_24_h="no",
            )
    judge_tests([lot.pk])
    refresh_standings([lot.pk])
    return lot


@pytest.fixture
def lot(member):
    return make_lot(member, 1)


def addresses(lot):
    return [
        reverse("home"),
        reverse("pavement_list"),
        f"{reverse('pavement_list')}?area_from=much",
        reverse("pavement_map"),
        reverse("pavement_page", args=[lot.pk]),
        reverse("pavement_timeline", args=[lot.pk]),
    ]


def violations(page):
    page.wait_for_load_state()
    found = Axe().run(page, options=AXE).response["violations"]
    return [(v["id"], n["html"][:160]) for v in found for n in v["nodes"]]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_pages_have_no_known_barrier(open_page, member, lot, size, scheme):
    page = open_page(reverse("home"), person=member.person, size=size)
    page.emulate_media(color_scheme=scheme)
    found = {}
    for address in addresses(lot):
        page.goto(address)
        page.evaluate(
            "() => document.querySelectorAll('details').forEach((d) => { d.open = true; })"
        )
        found[address] = violations(page)
    assert found == {address: [] for address in found}


def test_empty_pages_have_no_known_barrier(open_page, member):
    page = open_page(reverse("home"), person=member.person, size=PHONE)
    for address in (reverse("home"), reverse("pavement_list"), reverse("pavement_map")):
        page.goto(address)
        assert violations(page) == []


@pytest.mark.parametrize("width", [320, 360, 768, 1000, 1280])
def test_no_page_scrolls_sideways(open_page, member, lot, width):
    page = open_page(reverse("home"), person=member.person, size={"width": width, "height": 740})
    wide = {}
    for address in addresses(lot):
        page.goto(address)
        wide[address] = page.evaluate("document.documentElement.scrollWidth")
    assert {a: w for a, w in wide.items() if w > width} == {}


def test_first_tab_offers_to_skip_to_the_content(open_page, member, lot):
    page = open_page(reverse("pavement_list"), person=member.person)
    page.keyboard.press("Tab")
    skip = page.get_by_role("link", name="Skip to the content")
    expect(skip).to_be_focused()
    expect(skip).to_be_in_viewport()
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()


def test_contents_open_on_a_phone_and_stand_open_on_a_desk(open_page, member):
    phone = open_page(reverse("home"), person=member.person, size=PHONE)
    link = phone.get_by_role("link", name="Pavements", exact=True)
    expect(link).not_to_be_visible()
    phone.get_by_text("Contents", exact=True).click()
    expect(link).to_be_visible()
    assert link.bounding_box()["height"] >= 44
    desk = open_page(reverse("home"), person=member.person, size=DESK)
    expect(desk.get_by_role("link", name="Pavements", exact=True)).to_be_visible()


def test_number_opens_to_what_made_it_by_keyboard(open_page, member, lot):
    page = open_page(reverse("pavement_page", args=[lot.pk]), person=member.person)
    number = page.locator("section", has=page.locator("#tests")).locator("summary").first
    number.focus()
    page.keyboard.press("Enter")
    expect(page.get_by_text("I = K M / (D² t), ASTM C1701 and C1781").first).to_be_visible()


def test_map_shows_points_without_any_other_host(open_page, member, lot):
    asked = []
    page = open_page(reverse("home"), person=member.person)
    page.on("request", lambda request: asked.append(request.url))
    page.goto(reverse("pavement_map"))
    point = page.get_by_role("button", name=f"{lot.name}, not decided")
    clean = page.get_by_role("button", name=f"{lot.name}, clean")
    expect(point.or_(clean)).to_be_visible()
    expect(page.get_by_text("1 on the map.")).to_be_visible()
    host = page.url.split("/pavements/")[0]
    assert [url for url in asked if not url.startswith((host, "data:"))] == []


def test_point_of_the_map_leads_to_its_pavement_by_keyboard(open_page, member, lot):
    page = open_page(reverse("pavement_map"), person=member.person)
    point = page.locator(".map-point")
    expect(point).to_be_visible()
    point.focus()
    page.keyboard.press("Enter")
    link = page.locator(".leaflet-popup").get_by_role("link", name=lot.name)
    expect(link).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1, name=lot.name)).to_be_visible()


def test_points_close_together_are_one_until_pressed(open_page, member):
    for n in range(3):
        make_lot(member, n)
    far = make_lot(member, 9000)
    page = open_page(reverse("pavement_map"), person=member.person)
    cluster = page.get_by_role("button", name="3 pavements")
    expect(cluster).to_be_visible()
    fits = (
        "s => { const is = s.offsetHeight; s.innerText = '10 000'; return s.offsetHeight === is; }"
    )
    assert cluster.locator("span").evaluate(fits), "a count of thousands breaks into two lines"
    cluster.focus()
    page.keyboard.press("Enter")
    expect(cluster).to_have_count(0)
    expect(page.locator(".map-point").first).to_be_visible()
    expect(page.locator("[data-map]")).to_be_focused()
    expect(page.get_by_role("link", name=far.name)).to_be_visible()


def test_list_beside_the_map_is_there_without_scripts(chromium, live_server, member, lot):
    context = chromium.new_context(base_url=live_server.url, java_script_enabled=False)
    try:
        context.add_cookies([session_cookie(member.person, live_server.url)])
        page = context.new_page()
        page.goto(reverse("pavement_map"))
        expect(page.get_by_role("link", name=lot.name)).to_be_visible()
        expect(page.get_by_text("The map needs scripts")).to_be_visible()
    finally:
        context.close()


def test_units_switch_on_the_page(open_page, member, lot):
    page = open_page(reverse("pavement_list"), person=member.person)
    expect(page.get_by_role("cell", name="12.5 in/h")).to_be_visible()
    page.get_by_role("button", name="Show m, mm, kg").click()
    expect(page.get_by_role("cell", name="317.5 mm/h")).to_be_visible()


def test_printed_list_lies_so_that_its_last_column_is_on_the_paper(open_page, member, lot):
    page = open_page(reverse("pavement_list"), person=member.person)
    page.emulate_media(media="print")
    assert page.locator("body").evaluate("body => getComputedStyle(body).page") == "lying"
    page.set_viewport_size({"width": 960, "height": 700})  # 279.4 mm less its margins
    last = page.locator("thead th").last.bounding_box()
    assert last["x"] + last["width"] <= 960


def test_print_is_black_on_white_without_anything_to_press(open_page, member, lot):
    page = open_page(reverse("pavement_page", args=[lot.pk]), person=member.person)
    page.emulate_media(media="print", color_scheme="dark")
    colours = page.evaluate(
        "() => { const s = getComputedStyle(document.body); return [s.color, s.backgroundColor]; }"
    )
    assert colours == ["rgb(0, 0, 0)", "rgb(255, 255, 255)"]
    expect(page.get_by_role("heading", level=1, name=lot.name)).to_be_visible()
    expect(page.get_by_role("link", name="Timeline")).not_to_be_visible()
    expect(page.get_by_role("button", name="Sign out")).not_to_be_visible()
