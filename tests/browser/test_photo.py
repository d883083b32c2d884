"""Photos in a real browser: sent from a phone, drawn on, covered, then and now."""

from datetime import date

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from playwright.sync_api import expect

from registry.models import Photo, PhotoMarks
from tests.browser.conftest import DESK, PHONE, session_cookie
from tests.browser.test_every_page import AXE, SIDEWAYS
from tests.imaging import photos
from tests.imaging.exif_bytes import taken
from tests.views.record import manager_of
from tests.views.stored_photos import stored_photo

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
SIZES = pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])

ADD_NAMELESS = """field => {
  const chosen = new DataTransfer();
  for (const file of [...field.files, new File(["x"], "")]) chosen.items.add(file);
  field.files = chosen.files;
}"""


@pytest.fixture
def manager(transactional_db):
    return manager_of()


def picture(width=800, height=600, shade=0):
    image = photos.quarters(width, height)
    image.paste((shade, shade, shade), (20, 20, 60, 60))
    return image


def kept(pavement, day, shade=0, size=(800, 600), **fields):
    exif = taken(f"{day.replace('-', ':')} 10:00:00")
    data = photos.jpeg(picture(*size, shade), exif=exif)
    return stored_photo(pavement, pavement.seats.get().organisation, data, **fields)


def is_sound(page):
    page.wait_for_load_state()
    found = Axe().run(page, options=AXE).response["violations"]
    assert [f"{v['id']}: {v['nodes'][0]['html'][:120]}" for v in found] == []
    assert page.evaluate(SIDEWAYS) <= 0


@SIZES
def test_photos_are_sent_and_what_is_no_photo_is_named(open_page, manager, size, tmp_path):
    pavement, person = manager
    page = open_page(reverse("photo_add", args=[pavement.pk]), person=person, size=size)
    good, bad = tmp_path / "IMG_1.jpg", tmp_path / "drawing.jpg"
    good.write_bytes(photos.jpeg(picture(), exif=taken("2024:04:18 13:22:00")))
    bad.write_text("<svg xmlns='http://www.w3.org/2000/svg'/>")
    page.get_by_label("photos").set_input_files([good, bad])
    page.get_by_label("photos").evaluate(ADD_NAMELESS)
    page.get_by_role("button", name="Send").click()
    expect(page.get_by_role("alert").first).to_contain_text("drawing.jpg: not stored")
    expect(page.get_by_role("alert").first).to_contain_text("1 of the 3 chosen did not arrive")
    is_sound(page)
    page.get_by_role("alert").get_by_role("link").first.click()
    expect(page.get_by_text("2024:04:18 13:22:00")).to_be_visible()
    expect(page.get_by_text("being made ready")).to_be_visible()
    is_sound(page)


@SIZES
def test_an_arrow_is_drawn_by_two_presses_and_words_go_with_it(open_page, manager, size):
    pavement, person = manager
    photo = kept(pavement, "2024-04-18")
    page = open_page(reverse("photo_marks", args=[photo.pk]), person=person, size=size)
    page.get_by_label("words for the next mark").fill("loose stones")
    page.get_by_role("button", name="arrow").click()
    frame = page.locator("[data-draw-frame]")
    frame.scroll_into_view_if_needed()
    box = frame.bounding_box()
    frame.click(position={"x": box["width"] * 0.25, "y": box["height"] * 0.25})
    frame.click(position={"x": box["width"] * 0.75, "y": box["height"] * 0.5})
    expect(frame.locator("text").first).to_have_text("loose stones")
    is_sound(page)
    page.get_by_role("button", name="Store the marks").click()
    expect(page.get_by_text("Stored: the marks")).to_be_visible()
    (mark,) = PhotoMarks.objects.get().drawn
    assert mark["kind"] == "arrow"
    assert mark["words"] == "loose stones"
    drawn = [part for point in mark["points"] for part in point]
    assert drawn == pytest.approx([0.25, 0.25, 0.75, 0.5], abs=0.01)
    is_sound(page)


@SIZES
def test_an_arrow_is_drawn_by_keys_alone(open_page, manager, size):
    pavement, person = manager
    photo = kept(pavement, "2024-04-18")
    page = open_page(reverse("photo_marks", args=[photo.pk]), person=person, size=size)
    page.get_by_role("button", name="arrow").focus()
    page.keyboard.press("Enter")
    page.locator("[data-draw-frame]").focus()
    keys(page, ArrowLeft=5, Enter=1)
    keys(page, ArrowRight=10, ArrowDown=2, Enter=1)
    is_sound(page)
    page.get_by_role("button", name="Store the marks").focus()
    page.keyboard.press("Enter")
    expect(page.get_by_text("Stored: the marks")).to_be_visible()
    (mark,) = PhotoMarks.objects.get().drawn
    drawn = [part for point in mark["points"] for part in point]
    assert drawn == pytest.approx([0.25, 0.5, 0.75, 0.6], abs=0.005)


def keys(page, **pressed):
    for key, times in pressed.items():
        for _ in range(times):
            page.keyboard.press(key)


@SIZES
def test_a_face_is_covered_by_two_presses(open_page, manager, size):
    pavement, person = manager
    photo = kept(pavement, "2024-04-18")
    page = open_page(reverse("photo_covers", args=[photo.pk]), person=person, size=size)
    page.get_by_role("button", name="cover a part").click()
    frame = page.locator("[data-draw-frame]")
    frame.scroll_into_view_if_needed()
    box = frame.bounding_box()
    frame.click(position={"x": box["width"] * 0.9, "y": box["height"] * 0.4})
    frame.click(position={"x": box["width"] * 0.5, "y": box["height"] * 0.1})
    expect(frame.locator("rect")).to_have_count(1)
    is_sound(page)
    page.get_by_label("because").fill("a face")
    page.get_by_role("button", name="Store").click()
    expect(page.get_by_text("1 part covered")).to_be_visible()
    (cover,) = Photo.objects.get().covers
    assert cover == pytest.approx([0.5, 0.1, 0.9, 0.4], abs=0.01)


@SIZES
def test_now_is_laid_over_then_and_the_slider_goes_between(open_page, manager, size):
    pavement, person = manager
    higher = (1200, 1200)
    then = kept(pavement, "2024-04-18", size=higher)
    now = kept(pavement, "2025-04-20", shade=200, size=higher, pair_of=then)
    page = open_page(reverse("photo_pair", args=[now.pk]), person=person, size=size)
    old, new = page.locator("[data-pair=then] img"), page.locator("[data-pair=now] img")
    expect(old).to_have_js_property("complete", True)
    seen = old.bounding_box()
    assert seen == new.bounding_box()
    assert seen["width"] == pytest.approx(seen["height"], abs=1), "as wide as it is high, as taken"
    slider = page.get_by_label("From then to now")
    slider.focus()
    page.keyboard.press("Home")
    expect(new).to_have_css("clip-path", "inset(0px 0px 0px 0%)")
    page.keyboard.press("End")
    expect(new).to_have_css("clip-path", "inset(0px 0px 0px 100%)")
    is_sound(page)
    page.emulate_media(media="print")
    assert new.bounding_box()["x"] >= old.bounding_box()["x"] + old.bounding_box()["width"], (
        "on paper"
    )
    expect(new).to_have_css("clip-path", "none")
    page.emulate_media(media="screen")
    page.get_by_label("lay one over the other").uncheck()
    expect(slider).to_be_disabled()
    assert old.bounding_box() != new.bounding_box()
    is_sound(page)


def test_without_scripts_both_photos_stand_and_marks_are_typed(chromium, live_server, manager):
    pavement, person = manager
    then = kept(pavement, "2024-04-18")
    now = kept(pavement, "2025-04-20", shade=200, pair_of=then)
    context = chromium.new_context(
        base_url=live_server.url, viewport=PHONE, java_script_enabled=False
    )
    context.add_cookies([session_cookie(person, live_server.url)])
    page = context.new_page()
    page.goto(reverse("photo_pair", args=[now.pk]))
    old = page.locator("[data-pair=then] img").bounding_box()
    new = page.locator("[data-pair=now] img").bounding_box()
    assert new["y"] >= old["y"] + old["height"]
    expect(page.get_by_label("From then to now")).to_be_hidden()
    page.goto(reverse("photo_marks", args=[now.pk]))
    page.get_by_label("marks, one a line").fill("arrow 20,30 40,50 loose")
    page.get_by_role("button", name="Store the marks").click()
    expect(page.locator("svg.photo__marks text").last).to_have_text("loose")
    context.close()


@SIZES
def test_a_list_shows_thumbnails_and_says_which_are_undated(open_page, manager, size):
    pavement, person = manager
    assert kept(pavement, "2024-04-18").taken_on == date(2024, 4, 18)
    stored_photo(pavement, pavement.seats.get().organisation, subject="dirt")
    page = open_page(reverse("photo_list", args=[pavement.pk]), person=person, size=size)
    expect(page.get_by_role("link", name="source of dirt, undated")).to_be_visible()
    first = page.locator(".photos img").first
    expect(first).to_have_js_property("complete", True)
    assert first.evaluate("image => image.naturalWidth") > 0
    is_sound(page)
