"""An area measured on a photo by finger: four corners, the flat picture, the outline, the plan."""

from datetime import date

import numpy as np
import pytest
from django.urls import reverse
from playwright.sync_api import expect

from registry.models import Defect, Photo, PhotoExtent
from tests import factories
from tests.browser.conftest import DESK, PHONE
from tests.browser.test_photo import is_sound
from tests.imaging.cameras import SIZE_M, Camera, ellipse, polygon_area, rectangle
from tests.views.record import manager_of
from tests.views.stored_photos import stored_photo

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
CAMERA = Camera(45.0, 20.0, 5.0)
AROUND = 0.25 * SIZE_M[1]


@pytest.fixture
def manager(transactional_db):
    pavement, person = manager_of()
    organisation = pavement.seats.get().organisation
    plan = factories.PlanFactory(pavement=pavement, number=1)
    panel = factories.PanelFactory(
        pavement=pavement, plan=plan, name="C3", width_m=SIZE_M[0], length_m=SIZE_M[1]
    )
    defect = factories.DefectFactory(
        pavement=pavement, kind="raveling", entered_for=organisation, panel=panel
    )
    photo = stored_photo(
        pavement, organisation, CAMERA.photo_of(ellipse()), defect=defect, panel=panel
    )
    Photo.objects.filter(pk=photo.pk).update(taken_on=date(2024, 4, 18))
    return photo, person


def tap(page, fractions):
    frame = page.locator("[data-tap-frame]")
    frame.scroll_into_view_if_needed()
    box = frame.bounding_box()
    for x, y in fractions:
        frame.click(position={"x": x * box["width"], "y": y * box["height"]})


@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_an_area_is_tapped_and_becomes_the_defects_outline(open_page, manager, size):
    photo, person = manager
    page = open_page(reverse("photo_page", args=[photo.pk]), person=person, size=size)
    page.get_by_role("link", name="Measure an area").click()
    expect(page.get_by_role("status").last).to_contain_text("Press the home corner")
    is_sound(page)
    tap(page, CAMERA.fractions(rectangle()))
    expect(page.get_by_role("status").last).to_contain_text("All four are marked")
    page.get_by_role("button", name="Lay it flat").click()
    expect(page.get_by_alt_text("the photo laid flat")).to_have_js_property("complete", True)
    size_m = np.array(SIZE_M) + 2 * AROUND
    shape = (ellipse(12) + AROUND) / size_m
    tap(page, [(x, 1 - y) for x, y in shape])
    is_sound(page)
    page.get_by_role("button", name="Store the extent").click()
    expect(page.get_by_text("Stored: the extent")).to_be_visible()
    is_sound(page)
    row, true = PhotoExtent.objects.get(), polygon_area(ellipse(12))
    assert abs(row.value - true) <= row.error
    assert row.value == pytest.approx(true, rel=0.05)
    page.get_by_role("button", name="Make it the outline").click()
    expect(page.get_by_text("is the one drawn here")).to_be_visible()
    assert Defect.objects.get().outline == row.on_plan


def test_four_corners_are_set_and_taken_back_by_keys_alone(open_page, manager):
    photo, person = manager
    page = open_page(reverse("photo_extent_add", args=[photo.pk]), person=person, size=PHONE)
    frame = page.locator("[data-tap-frame]")
    frame.focus()
    for key in (
        "Enter",
        "Backspace",
        "ArrowLeft",
        "ArrowDown",
        "Enter",
        "Shift+ArrowRight",
        "Enter",
    ):
        page.keyboard.press(key)
    expect(page.get_by_role("status").last).to_contain_text("2 points marked")
    is_sound(page)
    wide, high = CAMERA.picture_px
    written = page.locator("textarea[name=corners]").input_value().split()
    (x, y), (right, same) = ([float(part) for part in point.split(",")] for point in written)
    assert (x / wide, y / high) == pytest.approx((0.45, 0.55), abs=0.002)
    assert (right / wide, same / high) == pytest.approx((0.455, 0.55), abs=0.002)
