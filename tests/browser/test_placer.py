"""Tap to place on the plan: what the browser writes is what the server reads, point for point."""

import json
import random
from datetime import date
from zoneinfo import ZoneInfo

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from registry.gathering.layouts import layout_of
from registry.models import Defect
from registry.plan import PlaceError, read_place, to_plan, write_place
from registry.plan.tapping import Drawn, place_of_taps
from tests import factories
from tests.browser.conftest import DESK, PHONE, session_cookie
from tests.browser.test_photo import is_sound
from tests.views.record import manager_of

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SIZES = pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
FT = 0.3048
TAPS = 50


@pytest.fixture
def manager(transactional_db):
    pavement, person = manager_of()
    pavement.sheet_system = "inch_pound"
    pavement.save(update_fields=["sheet_system"])
    return pavement, person


def draw_lot(pavement):
    """Three lanes of four 12 ft panels; B2 is saw-cut, B3 replaced, C4 has a slanted side."""
    plan = factories.PlanFactory(pavement=pavement, number=1)
    side = 12 * FT

    def panel(name, right, up, width=side, length=side, **fields):
        return factories.PanelFactory(
            pavement=pavement, plan=plan, name=name, right_m=right * side, up_m=up * side,
            width_m=width, length_m=length, **fields,
        )  # fmt: skip

    cut, changed = date(2025, 8, 4), date(2025, 5, 13)
    for right, letter in enumerate("ABC"):
        for up in range(4):
            ends = {"B2": cut, "B3": changed}.get(f"{letter}{up + 1}")
            if (letter, up) != ("C", 3):
                panel(f"{letter}{up + 1}", right, up, exists_to_on=ends)
    whole = pavement.panels.get(name="B2")
    panel("B2a", 1, 1, width=5 * FT, exists_from_on=cut, cut_from=whole)
    panel("B2b", 1 + 5 / 12, 1, width=7 * FT, exists_from_on=cut, cut_from=whole)
    panel("B3", 1, 2, exists_from_on=changed, placed_on=changed)
    corners = [
        [2 * side, 3 * side],
        [3 * side, 3 * side],
        [2.5 * side, 4 * side],
        [2 * side, 4 * side],
    ]
    panel("C4", 2, 3, corners=corners, kind="closing")


def draw_path(pavement):
    factories.PlanFactory(
        pavement=pavement, number=1, kind="stations", width_m=10 * FT, offset_from="center",
        baseline=[[0, 0], [0, 100 * FT], [60 * FT, 200 * FT], [60 * FT, 278 * FT]],
    )  # fmt: skip


def draw_pavers(pavement):
    outline = [[0, 0], [17.7, 0], [17.7, 12.0], [9.0, 26.8], [0, 26.8]]
    factories.PlanFactory(
        pavement=pavement, number=1, kind="squares", outline=outline, square_m=10 * FT
    )


def opened(open_page, manager, size=PHONE, kind="raveling"):
    pavement, person = manager
    address = reverse("defect_add", args=[pavement.pk])
    page = open_page(f"{address}?kind={kind}", person=person, size=size)
    plan = page.locator("[data-placer-plan]")
    plan.scroll_into_view_if_needed()
    return page, plan


def points_of(page):
    return json.loads(page.locator("[data-placer]").get_attribute("data-points"))


def today(pavement):
    return timezone.now().astimezone(ZoneInfo(pavement.site.time_zone)).date()


def server_says(layout, points, drawn, on):
    """The place in words, or None where the server knows none either."""
    plan_points = [tuple(point) for point in points]
    if layout.baseline is not None:
        plan_points = [layout.baseline.to_plan(*point) for point in plan_points]
    try:
        return write_place(place_of_taps(plan_points, Drawn(drawn), layout, on), layout.system)
    except PlaceError:
        return None


@pytest.mark.parametrize("draw", [draw_lot, draw_path, draw_pavers])
def test_fifty_taps_give_the_place_that_the_server_gives(open_page, manager, draw):
    pavement, _ = manager
    draw(pavement)
    layout, on = layout_of(pavement), today(pavement)
    page, plan = opened(open_page, manager)
    field, dice, agreed = page.locator("#id_place"), random.Random(8), 0
    box = plan.bounding_box()
    for _ in range(TAPS):
        field.evaluate("field => { field.value = ''; }")
        x, y = (dice.uniform(1, box[side] - 1) for side in ("width", "height"))
        plan.click(position={"x": x, "y": y})
        told = server_says(layout, points_of(page), "spot", on)
        assert field.input_value() == (told or "")
        if told is not None:
            to_plan(read_place(told, layout.system), layout, on)
            agreed += 1
    assert agreed > TAPS / 4


def test_random_lines_and_areas_give_what_the_server_gives(open_page, manager):
    pavement, _ = manager
    draw_lot(pavement)
    layout, on = layout_of(pavement), today(pavement)
    page, plan = opened(open_page, manager)
    field, dice = page.locator("#id_place"), random.Random(9)
    box, agreed = plan.bounding_box(), 0
    for nth in range(40):
        drawn = ("line", "area")[nth % 2]
        page.get_by_role("button", name={"line": "a line", "area": "an area"}[drawn]).click()
        field.evaluate("field => { field.value = ''; }")
        x, y = dice.uniform(0.2, 0.8), dice.uniform(0.2, 0.8)
        for _ in range(2 + nth % 3):
            near = 0.03 if nth % 4 < 2 else 0.3
            x, y = (min(0.95, max(0.05, part + dice.uniform(-near, near))) for part in (x, y))
            plan.click(position={"x": x * box["width"], "y": y * box["height"]})
        told = server_says(layout, points_of(page), drawn, on)
        shown = field.input_value()
        if told is not None:
            assert shown == told
            to_plan(read_place(told, layout.system), layout, on)
            agreed += 1
    assert agreed > 20


@SIZES
def test_a_drag_tells_panel_right_and_up_before_the_finger_is_lifted(open_page, manager, size):
    pavement, _ = manager
    draw_lot(pavement)
    page, plan = opened(open_page, manager, size)
    told = page.locator("[data-placer-told]")
    box = plan.bounding_box()
    x, y = box["x"] + box["width"] * 0.3, box["y"] + box["height"] * 0.75
    page.mouse.move(x, y)
    page.mouse.down()
    expect(told).to_contain_text("A1 · ")
    page.mouse.move(box["x"] + box["width"] * 0.5, box["y"] + box["height"] * 0.7, steps=4)
    expect(told).to_contain_text("B1 · ")
    expect(page.locator("#id_place")).to_have_value("")
    page.mouse.up()
    expect(page.locator("#id_place")).to_have_value(told.inner_text().removesuffix(" (ft)"))
    is_sound(page)


def test_arrow_keys_move_the_point_by_a_tenth_of_a_foot_and_enter_sets_the_next(open_page, manager):
    pavement, _ = manager
    draw_lot(pavement)
    page, plan = opened(open_page, manager, DESK)
    field = page.locator("#id_place")
    plan.focus()
    for key in ("ArrowRight", *["ArrowDown"] * 9):  # off the joint in the middle
        page.keyboard.press(key)
    first = read_place(field.input_value(), "inch_pound")
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowUp")
    then = read_place(field.input_value(), "inch_pound")
    assert then.panel == first.panel
    assert then.right.start_m - first.right.start_m == pytest.approx(0.3 * FT)
    assert then.up.start_m - first.up.start_m == pytest.approx(0.1 * FT)
    page.get_by_role("button", name="a line").click()
    plan.focus()
    for key in (*["ArrowDown"] * 9, "Enter", *["ArrowDown"] * 5, "Enter", *["ArrowLeft"] * 4):
        page.keyboard.press(key)
    assert len(read_place(field.input_value(), "inch_pound").points) == 3
    page.get_by_role("button", name="Take back the last point").click()
    assert len(read_place(field.input_value(), "inch_pound").points) == 2


def test_a_tapped_place_is_stored_with_its_outline(open_page, manager):
    pavement, _ = manager
    draw_lot(pavement)
    page, plan = opened(open_page, manager, kind="stain")
    box = plan.bounding_box()
    page.get_by_role("button", name="an area").click()
    for x, y in ((0.30, 0.80), (0.36, 0.75)):
        plan.click(position={"x": x * box["width"], "y": y * box["height"]})
    place = page.locator("#id_place").input_value()
    assert place.startswith("A1 · ")
    page.get_by_role("button", name="Store", exact=True).click()
    expect(page.get_by_text("Stored: defect 1")).to_be_visible()
    row = Defect.objects.get()
    assert row.place == place
    assert (row.outline_kind, row.panel.name, len(row.outline)) == ("area", "A1", 4)


def test_without_scripts_the_place_is_typed(chromium, live_server, manager):
    pavement, person = manager
    draw_lot(pavement)
    context = chromium.new_context(
        base_url=live_server.url, viewport=PHONE, java_script_enabled=False
    )
    context.add_cookies([session_cookie(person, live_server.url)])
    page = context.new_page()
    page.goto(reverse("defect_add", args=[pavement.pk]) + "?kind=stain")
    expect(page.locator("[data-placer]")).to_be_hidden()
    page.locator("#id_place").fill("A1 · 3.2 R · 8.5 U")
    page.get_by_role("button", name="Store", exact=True).click()
    expect(page.get_by_text("Stored: defect 1")).to_be_visible()
    context.close()
