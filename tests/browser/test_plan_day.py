"""The plan with its defects in a browser: marks are links, and the day travels."""

from datetime import date

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from registry.defects import KINDS
from registry.models import DefectMove
from tests import factories
from tests.browser.conftest import DESK, PHONE
from tests.browser.test_photo import is_sound
from tests.browser.test_placer import FT, draw_lot
from tests.views.record import manager_of

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SIZES = pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])


@pytest.fixture
def manager(transactional_db):
    pavement, person = manager_of()
    draw_lot(pavement)
    for day in (date(2024, 4, 18), date(2025, 4, 20)):
        factories.VisitFactory(pavement=pavement, done_on=day)
    for nth, kind in enumerate(KINDS.values()):
        noted(pavement, nth, kind)
    return pavement, person


def noted(pavement, nth, kind):
    """One of each kind: areas 4 ft by 5 ft, lines of 7 ft, spots, four to a row."""
    x, y = (2 + nth % 4 * 8.5) * FT, (2 + nth // 4 * 8.6) * FT
    outline, drawn_as = [[x, y]], "spot"
    if kind.unit == "m2":
        far = (x + 4 * FT, y + 5 * FT)
        outline, drawn_as = [[x, y], [far[0], y], [*far], [x, far[1]]], "area"
    elif kind.unit == "m":
        outline, drawn_as = [[x, y], [x + 5 * FT, y + 5 * FT]], "line"
    on = date(2024 + nth % 2, 4, 20 - 2 * ((nth + 1) % 2))
    row = factories.DefectFactory(
        pavement=pavement, number=nth + 1, kind=kind.code, first_seen_on=on, outline=outline,
        outline_kind=drawn_as,
    )  # fmt: skip
    DefectMove.objects.create(defect=row, to_state="noted", on=on)
    factories.ObservationFactory(defect=row, seen_on=on, severity=("low", "high")[nth % 2])


@SIZES
def test_marks_are_links_with_names_and_lead_to_their_defects(open_page, manager, size):
    pavement, person = manager
    page = open_page(reverse("plan_page", args=[pavement.pk]), person=person, size=size)
    marks = page.locator(".figure a")
    expect(marks).to_have_count(len(KINDS))
    is_sound(page)
    marks.nth(4).focus()
    name = marks.nth(4).get_attribute("aria-label")
    assert name.startswith("defect 5: crack, noted")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("5")


@SIZES
def test_day_and_filters_travel_from_press_to_press(open_page, manager, size):
    pavement, person = manager
    page = open_page(reverse("plan_page", args=[pavement.pk]), person=person, size=size)
    page.get_by_text("Which defects").click()
    page.get_by_label("severity when last graded").select_option("high")
    page.get_by_role("button", name="Show these").click()
    page.wait_for_url(lambda url: "severity=high" in url)
    every = page.locator(".figure a").count()
    assert 0 < every < len(KINDS)
    page.get_by_label("the plan as it was on").fill("2024-12-31")
    page.get_by_role("button", name="Show", exact=True).click()
    expect(page.get_by_text("As it was on 2024-12-31")).to_be_visible()
    expect(page.locator(".figure a")).to_have_count(0)
    is_sound(page)
    page.get_by_role("link", name="the visit after, 2025-04-20").click()
    expect(page.locator(".figure a")).to_have_count(every)
    page.get_by_role("link", name="the visit before, 2024-04-18").click()
    expect(page.get_by_text("No defect is like this")).to_be_visible()
    page.get_by_role("link", name="today", exact=True).click()
    expect(page.locator(".figure a")).to_have_count(every)
    is_sound(page)


def test_the_plan_is_no_wider_than_a_phone_and_has_little_white_above_it(open_page, manager):
    """What cannot be seen without pushing the picture sideways is not looked at on the pavement."""
    pavement, person = manager
    for address in (
        reverse("plan_page", args=[pavement.pk]),
        reverse("defect_page", args=[pavement.defects.first().pk]),
    ):
        page = open_page(address, person=person, size=PHONE)
        figure = page.locator(".figure--plan").first
        assert figure.evaluate("f => f.scrollWidth - f.clientWidth") <= 0
        above = figure.evaluate(
            "f => Math.min(...[...f.querySelectorAll('polygon')].map("
            "p => p.getBoundingClientRect().top)) - f.getBoundingClientRect().top"
        )
        assert above < 90
