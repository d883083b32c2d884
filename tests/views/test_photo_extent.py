"""Extents measured on a photo, from the corners to the plan, through the pages.

The photos are drawn by OpenCV through a known pinhole camera, and the outline is found on the flat
picture by OpenCV: nothing but the pages themselves comes from registry/imaging.
"""

from datetime import date

import cv2
import numpy as np
import pytest
from django.urls import reverse

from registry.models import JournalLine, Observation, Photo, PhotoExtent
from tests import factories
from tests.imaging.cameras import CAMERAS, SIZE_M, Camera, ellipse, polygon_area
from tests.views.record import manager_of, wrongs
from tests.views.stored_photos import stored_photo

pytestmark = pytest.mark.django_db
TAKEN = date(2024, 4, 18)
HOME = (6.0, 8.0)
STEEP = Camera(60.0, 35.0, 10.0)
CAMERAS_TRIED = [*CAMERAS[::5], *(camera for camera in CAMERAS if camera.tilt_deg == 60.0)]


@pytest.fixture
def pavement(client):
    pavement, person = manager_of()
    pavement.sheet_system = "si"
    pavement.save(update_fields=["sheet_system"])
    client.force_login(person)
    return pavement


@pytest.fixture
def panel(pavement):
    plan = factories.PlanFactory(pavement=pavement, number=1)
    return factories.PanelFactory(
        pavement=pavement, plan=plan, name="C3", right_m=HOME[0], up_m=HOME[1],
        width_m=SIZE_M[0], length_m=SIZE_M[1],
    )  # fmt: skip


@pytest.fixture
def organisation(pavement):
    return pavement.seats.get().organisation


@pytest.fixture
def defect(pavement, organisation, panel):
    return factories.DefectFactory(
        pavement=pavement, kind="raveling", entered_for=organisation, panel=panel,
        first_seen_on=TAKEN,
    )  # fmt: skip


def photo_by(camera, pavement, organisation, outline=None, **fields):
    data = camera.photo_of(ellipse() if outline is None else outline)
    photo = stored_photo(pavement, organisation, data, **fields)
    Photo.objects.filter(pk=photo.pk).update(taken_on=TAKEN)
    photo.refresh_from_db()
    return photo


def marked(camera, known, **changes):
    pixels = camera.project(np.array([(0, 0), (3, 0), (3, 4), (0, 4)], float))
    corners = "\n".join(f"{x:.1f},{y:.1f}" for x, y in pixels)
    return {"rectangle": "panel", "panel": known.pk, "corners": corners, **changes}


def flat_picture(client, photo, asked):
    answer = client.get(reverse("photo_flat", args=[photo.pk]), asked)
    assert answer.status_code == 200
    assert answer["Content-Type"] == "image/jpeg"
    return cv2.imdecode(np.frombuffer(answer.content, np.uint8), cv2.IMREAD_GRAYSCALE)


def outline_on(picture):
    """The dark shape's rim, as somebody would draw it: in pixels of the flat picture."""
    dark = (cv2.GaussianBlur(picture, (5, 5), 0) < 120).astype(np.uint8)
    found, _ = cv2.findContours(dark, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    rim = max(found, key=cv2.contourArea)
    points = cv2.approxPolyDP(rim, 2.0, closed=True)[:, 0].astype(float)
    middle = points.mean(axis=0)
    away = points - middle
    # A rim runs through the middles of the outermost pixels; the shape ends half a pixel beyond.
    return points + 0.5 + 0.5 * away / np.linalg.norm(away, axis=1)[:, None]


def as_text(points):
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in points)


def draw(client, photo, asked, points, **given):
    address = reverse("photo_extent_add", args=[photo.pk])
    query = "&".join(f"{name}={value}" for name, value in asked.items()).replace("\n", "%0A")
    text = points if isinstance(points, str) else as_text(points)
    sent = {"outline_kind": "area", "outline": text, "seen_on": "2024-04-18", **given}
    return client.post(f"{address}?{query}", sent)


@pytest.mark.parametrize("camera", CAMERAS_TRIED, ids=str)
def test_area_drawn_on_a_photo_is_true_within_two_in_a_hundred(
    client, pavement, organisation, panel, defect, camera
):
    photo = photo_by(camera, pavement, organisation, defect=defect)
    asked = marked(camera, panel)
    outline = outline_on(flat_picture(client, photo, asked))
    answer = draw(client, photo, asked, outline)
    assert answer.status_code == 302, wrongs(answer)
    row, true = PhotoExtent.objects.get(), polygon_area(ellipse())
    assert row.value == pytest.approx(true, rel=0.02)
    assert abs(row.value - true) <= row.error
    look = row.observation
    assert (look.area_m2, look.area_error_m2, look.method) == (row.value, row.error, "photo")
    assert look.defect == defect
    landed = np.array(row.on_plan)
    assert polygon_area(landed) == pytest.approx(true, rel=0.02)
    assert landed.mean(axis=0) == pytest.approx(ellipse().mean(axis=0) + HOME, abs=0.1)
    in_photo = np.array(row.outline)
    assert in_photo.mean(axis=0) == pytest.approx(camera.project(ellipse()).mean(axis=0), abs=25)


def test_length_of_a_crack_becomes_the_look_the_photo_belongs_to(
    client, pavement, organisation, panel
):
    crack = factories.DefectFactory(pavement=pavement, kind="crack", entered_for=organisation)
    look = factories.ObservationFactory(
        defect=crack, entered_for=organisation, area_m2=None, length_m=2.0, crack_width_m=0.002
    )
    photo = photo_by(STEEP, pavement, organisation, defect=crack, observation=look)
    asked = marked(STEEP, panel)
    picture = flat_picture(client, photo, asked)
    per_m, around = 1600 / 6, 1.0
    assert picture.shape == (1600, round(5 * per_m))
    ends = [((x + around) * per_m, 1600 - (y + around) * per_m) for x, y in ((0.5, 1), (2.5, 3))]
    answer = draw(client, photo, asked, ends, outline_kind="line")
    assert answer.status_code == 302, wrongs(answer)
    look.refresh_from_db()
    assert look.length_m == pytest.approx(8**0.5, abs=0.01)
    assert look.length_error_m > 0
    assert (look.method, look.severity) == ("photo", "low")
    assert Observation.objects.count() == 1
    line = JournalLine.objects.about(look).corrections().get()
    assert "measured on" in line.why
    assert PhotoExtent.objects.get().observation == look


def test_a_person_makes_the_outline_that_of_the_defect(
    client, pavement, organisation, panel, defect
):
    photo = photo_by(STEEP, pavement, organisation, defect=defect)
    asked = marked(STEEP, panel)
    draw(client, photo, asked, outline_on(flat_picture(client, photo, asked)))
    defect.refresh_from_db()
    assert defect.outline == []
    row = PhotoExtent.objects.get()
    page = reverse("photo_extent_page", args=[row.pk])
    assert "Make it the outline" in client.get(page).content.decode()
    assert client.post(page, {"why": ""}).status_code == 200
    assert client.post(page, {"why": "looked at on the plan"}).status_code == 302
    defect.refresh_from_db()
    assert defect.outline == row.on_plan
    assert defect.outline_kind == "area"
    line = JournalLine.objects.about(defect).corrections().get()
    assert line.changes["outline"][1].startswith(f"{len(row.on_plan)} points drawn on")


def test_a_photo_of_no_defect_keeps_its_extent_alone(client, pavement, organisation, panel):
    photo = photo_by(STEEP, pavement, organisation)
    asked = marked(STEEP, panel)
    answer = draw(client, photo, asked, outline_on(flat_picture(client, photo, asked)))
    assert answer.status_code == 302
    assert PhotoExtent.objects.get().observation is None
    page = client.get(reverse("photo_extent_page", args=[PhotoExtent.objects.get().pk]))
    assert "Make it the outline" not in page.content.decode()


def test_a_card_lands_only_where_its_corner_is_written(client, pavement, organisation, panel):
    photo = photo_by(STEEP, pavement, organisation)
    asked = marked(STEEP, panel, rectangle="card", width="3", height="4")
    points = outline_on(flat_picture(client, photo, asked))
    answer = draw(client, photo, asked, points)
    assert answer.status_code == 302, wrongs(answer)
    assert PhotoExtent.objects.get().on_plan == []
    draw(client, photo, {**asked, "home": "C3 1.0 R 2.0 U"}, points)
    landed = np.array(PhotoExtent.objects.last().on_plan)
    wanted = ellipse().mean(axis=0) + HOME + (1.0, 2.0)
    assert landed.mean(axis=0) == pytest.approx(wanted, abs=0.1)


@pytest.mark.parametrize(
    ("corners", "words"),
    [
        ("100,100 900,900 900,100 100,900", "cross each other"),
        ("100,500 500,505 900,500 500,510", "nearly in a line"),
        ("100,900 100,100 900,100 900,900", "the wrong way"),
        ("100,100 105,100 105,105 100,105", "less than 20 pixels apart"),
        ("100,100 900,100 900,900", "at least 4 points"),
        ("100,900 900,900 900,100 100,100 5,5", "no more"),
        ("100,900 900,900 900,100 9000,100", "within the picture"),
        ("100,900 900,900 900,100 here", "is no point"),
    ],
)
def test_bad_corners_are_refused_in_plain_words(
    client, pavement, organisation, panel, corners, words
):
    photo = photo_by(STEEP, pavement, organisation)
    asked = marked(STEEP, panel, corners=corners)
    answer = client.get(reverse("photo_extent_add", args=[photo.pk]), asked)
    assert words in str(wrongs(answer)["corners"])
    assert corners in answer.content.decode()
    assert client.get(reverse("photo_flat", args=[photo.pk]), asked).status_code == 404


@pytest.mark.parametrize(
    ("changed", "field", "words"),
    [
        ({"rectangle": "card"}, "width", "how long"),
        ({"rectangle": "card", "width": "0", "height": "1"}, "corners", "between 0.02 and 60 m"),
        ({"rectangle": "circle"}, "rectangle", "not one of"),
        ({"panel": "99999999999999999999"}, "panel", "not one of"),
        ({"panel": ""}, "panel", "which panel"),
        ({"around": "900"}, "corners", "Show less"),
        ({"rectangle": "card", "width": "1", "height": "1", "home": "Z9 1 R 1 U"}, "home", "Z9"),
    ],
)
def test_a_rectangle_that_is_not_known_is_asked_for(
    client, pavement, organisation, panel, changed, field, words
):
    photo = photo_by(STEEP, pavement, organisation)
    asked = marked(STEEP, panel, **changed)
    answer = client.get(reverse("photo_extent_add", args=[photo.pk]), asked)
    assert words in str(wrongs(answer)[field]), wrongs(answer)


def test_a_panel_that_is_no_rectangle_is_refused(client, pavement, organisation, panel):
    panel.corners = [[6, 8], [9, 8], [9, 12], [7, 12]]
    panel.save(update_fields=["corners"])
    photo = photo_by(STEEP, pavement, organisation)
    answer = client.get(reverse("photo_extent_add", args=[photo.pk]), marked(STEEP, panel))
    assert "not a full rectangle" in str(wrongs(answer)["panel"])


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ("300,300 600,600 600,300 300,600", "crosses or touches itself"),
        ("300,300 600,600", "three different points"),
        ("300,300", "at least 2 points"),
        ("300,300 301,300 301,301", "measures nothing"),
    ],
)
def test_an_outline_without_one_area_is_refused_and_nothing_is_lost(
    client, pavement, organisation, panel, points, words
):
    photo = photo_by(STEEP, pavement, organisation)
    answer = draw(client, photo, marked(STEEP, panel), points)
    assert words in str(wrongs(answer)["outline"])
    assert points in answer.content.decode()
    assert not PhotoExtent.objects.exists()


def test_an_outline_beyond_the_photo_is_refused(client, pavement, organisation, panel):
    near = Camera(60.0, 35.0, 10.0, distance_m=5.0)
    photo = photo_by(near, pavement, organisation)
    answer = draw(client, photo, marked(near, panel), "5,5 1300,5 700,1590 5,1590")
    assert "beyond what the photo shows" in str(wrongs(answer)["outline"])


def test_of_a_crack_no_area_is_taken(client, pavement, organisation, panel):
    crack = factories.DefectFactory(pavement=pavement, kind="crack", entered_for=organisation)
    photo = photo_by(STEEP, pavement, organisation, defect=crack)
    answer = draw(client, photo, marked(STEEP, panel), "300,300 600,300 600,700")
    assert "no area is asked" in str(wrongs(answer))
    assert not Observation.objects.exists()


def test_a_less_sure_finger_gives_a_larger_error(client, pavement, organisation, panel):
    photo = photo_by(STEEP, pavement, organisation)
    asked = marked(STEEP, panel)
    points = outline_on(flat_picture(client, photo, asked))
    draw(client, photo, asked, points)
    draw(client, photo, asked, points, outline_shown="340")
    typed, tapped = PhotoExtent.objects.order_by("pk")
    assert tapped.error > 1.5 * typed.error


def test_who_does_not_get_the_original_does_not_measure(client, pavement, organisation, panel):
    photo = photo_by(STEEP, pavement, organisation, submitted_on=TAKEN)
    _, person = manager_of(pavement, role="municipality")
    client.force_login(person)
    assert client.get(reverse("photo_page", args=[photo.pk])).status_code == 200
    asked = marked(STEEP, panel)
    for name in ("photo_flat", "photo_extent_add"):
        assert client.get(reverse(name, args=[photo.pk]), asked).status_code == 403


def test_a_void_photo_is_not_measured(client, pavement, organisation, panel):
    photo = photo_by(STEEP, pavement, organisation)
    client.post(reverse("photo_void", args=[photo.pk]), {"why": "of another lot"})
    answer = draw(client, photo, marked(STEEP, panel), "300,300 600,300 600,700")
    assert "void" in str(wrongs(answer))
