"""What leaves the media folder, to whom, and how it is labelled."""

from datetime import timedelta
from io import BytesIO

import numpy as np
import pytest
from django.core.files.storage import default_storage
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from registry.actions.correct_photo import correct_photo
from registry.actions.queue_work import queue_photo_sizes
from registry.imaging.cover import FILL
from registry.models import Photo, PhotoFile
from registry.models.entry import Change
from tests import factories
from tests.imaging import photos
from tests.imaging.exif_bytes import taken
from tests.views.record import manager_of
from tests.views.stored_photos import stored_photo

pytestmark = pytest.mark.django_db
OWNER = "Ann Owners Pocket"
PLATE = [0.5, 0.0, 1.0, 0.5]  # the green quarter


@pytest.fixture
def pavement():
    pavement, person = manager_of()
    pavement.manager = person
    return pavement


@pytest.fixture
def own(pavement):
    client = Client()
    client.force_login(pavement.manager)
    return client


@pytest.fixture
def organisation(pavement):
    return pavement.seats.get(role="manager").organisation


@pytest.fixture
def photo(pavement, organisation):
    exif = taken(orientation=6, model=OWNER, position=(-71.4, 41.8))
    stored = Image.fromarray(photos.stored_under(np.asarray(photos.quarters(320, 192)), 6))
    data = photos.jpeg(stored, exif=exif, comment=OWNER.encode())
    today = timezone.now().date()
    return stored_photo(
        pavement, organisation, data, covers=[PLATE], submitted_on=today, name=f"{OWNER}.jpg"
    )


@pytest.fixture
def town(pavement):
    return signed_in(pavement, "municipality")


def signed_in(pavement, role, **seat):
    organisation = factories.MembershipFactory().organisation
    factories.SeatFactory(pavement=pavement, organisation=organisation, role=role, **seat)
    client = Client()
    client.force_login(organisation.people.get())
    return client


def view(client, photo, size="page", **headers):
    return client.get(reverse("photo_view", args=[photo.pk, size]), headers=headers)


def corner(answer):
    image = Image.open(BytesIO(answer.content)).convert("RGB")
    return image.getpixel((int(image.width * 0.75), int(image.height * 0.25)))


def is_near(pixel, wanted):
    return max(abs(a - b) for a, b in zip(pixel, wanted, strict=True)) < 24


@pytest.mark.parametrize("size", ["list", "page", "copy"])
def test_others_see_covers_and_own_side_sees_through_them_but_in_what_is_passed_on(
    own, town, photo, size
):
    assert is_near(corner(view(town, photo, size)), FILL)
    theirs = corner(view(own, photo, size))
    assert is_near(theirs, FILL if size == "copy" else photos.GREEN)


@pytest.mark.parametrize("size", ["list", "page", "copy"])
def test_no_view_holds_a_tag_of_device_position_or_time(own, town, photo, size):
    for client in (own, town):
        answer = view(client, photo, size)
        assert dict(Image.open(BytesIO(answer.content)).getexif()) == {}
        for word in (b"Exif", OWNER.encode(), b"Acme", b"2024"):
            assert word not in answer.content


def test_pages_for_others_name_neither_device_nor_position_nor_file(own, town, photo):
    theirs = town.get(reverse("photo_page", args=[photo.pk])).content.decode()
    ours = own.get(reverse("photo_page", args=[photo.pk])).content.decode()
    for words in (OWNER, "position is", "The file as it came"):
        assert words not in theirs
    for words in (OWNER, "The file has a position", "The file as it came"):
        assert words in ours
    assert photo.file.sha256 in theirs


def test_lines_of_a_correction_tell_others_nothing_of_the_position(own, town, photo):
    Photo.objects.filter(pk=photo.pk).update(position_says="lies behind the mill")
    photo.refresh_from_db()
    changes = {"subject": Change("dirt", "")}
    side = photo.entered_for
    correct_photo(photo, changes=changes, why="it is the bank", by=None, organisation=side)
    theirs = town.get(reverse("photo_page", args=[photo.pk])).content.decode()
    assert "it is the bank" in theirs
    assert "behind the mill" not in theirs
    ours = own.get(reverse("photo_page", args=[photo.pk])).content.decode()
    assert "behind the mill" in ours


def test_the_original_comes_back_byte_for_byte_with_its_kind_and_a_name_of_ours(own, photo):
    answer = own.get(reverse("photo_original", args=[photo.pk]))
    data = b"".join(answer.streaming_content)
    assert OWNER.encode() in data
    assert len(data) == photo.file.bytes_long
    assert answer["Content-Type"] == "image/jpeg"
    assert answer["Content-Disposition"] == f'attachment; filename="photo-{photo.pk}.jpg"'
    assert answer["X-Content-Type-Options"] == "nosniff"


def test_views_are_labelled_and_kept_by_this_person_alone(own, photo):
    answer = view(own, photo)
    assert answer["Content-Type"] == "image/jpeg"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Cross-Origin-Resource-Policy"] == "same-origin"
    assert answer["Content-Disposition"] == f'inline; filename="photo-{photo.pk}-page.jpg"'
    assert answer["Cache-Control"] == "private, max-age=300"
    assert "Cookie" in answer["Vary"]
    again = view(own, photo, **{"if-none-match": answer["ETag"]})
    assert (again.status_code, again.content) == (304, b"")
    assert view(own, photo, "list")["ETag"] != answer["ETag"]


def test_a_kept_view_is_not_confirmed_to_who_may_no_longer_see_it(own, town, photo):
    etag = view(town, photo)["ETag"]
    assert etag != view(own, photo)["ETag"], "covered and uncovered are two things"
    Photo.objects.filter(pk=photo.pk).update(submitted_on=None)
    assert view(town, photo, **{"if-none-match": etag}).status_code == 404


def test_changed_covers_change_the_view_that_others_keep(own, town, photo):
    etag = view(town, photo)["ETag"]
    Photo.objects.filter(pk=photo.pk).update(covers=[])
    answer = view(town, photo, **{"if-none-match": etag})
    assert answer.status_code == 200
    assert is_near(corner(answer), photos.GREEN)


def test_a_size_that_is_not_made_yet_is_not_found_and_the_page_says_so(own, photo):
    default_storage.delete(f"photos/{photo.file.sha256[:2]}/{photo.file.sha256}.page.jpg")
    assert view(own, photo).status_code == 404
    waiting = factories.PhotoFactory(
        pavement=photo.pavement, entered_for=photo.entered_for, site=photo.site
    )
    shown = own.get(reverse("photo_page", args=[waiting.pk])).content.decode()
    assert "broke off" in shown
    queue_photo_sizes(waiting.file_id)
    shown = own.get(reverse("photo_page", args=[waiting.pk])).content.decode()
    assert "being made ready" in shown
    assert "<img" not in shown


def test_a_photo_given_up_is_tried_once_more_from_its_page(own, photo):
    PhotoFile.objects.filter(pk=photo.file_id).update(
        sizes_state="refused", sizes_why="Making it ready broke off 3 times.", page_width_px=None
    )
    address = reverse("photo_page", args=[photo.pk])
    shown = own.get(address).content.decode()
    assert "Making it ready broke off 3 times." in shown
    assert "Try once more" in shown
    answer = own.post(reverse("photo_again", args=[photo.pk]), follow=True)
    assert answer.redirect_chain == [(address, 302)]
    told = answer.content.decode()
    assert "being made ready" in told
    assert "Try once more" not in told
    again = own.post(reverse("photo_again", args=[photo.pk]), follow=True).content.decode()
    assert "being made ready at this moment" in again


def test_no_address_leads_round_the_check(own, photo):
    name = f"photos/{photo.file.sha256[:2]}/{photo.file.sha256}.jpg"
    assert default_storage.exists(name)
    for start in ("/media/", "/static/", "/originals-are-served-through-access-only/", "/"):
        assert own.get(f"{start}{name}").status_code == 404


def test_contractor_sees_photos_of_its_defects_until_the_warranty_ends(pavement, organisation):
    today = timezone.now().date()
    defect = factories.DefectFactory(pavement=pavement, first_seen_on=today - timedelta(days=40))
    of_defect = stored_photo(pavement, organisation, defect=defect, subject="defect")
    for days, status in ((30, 200), (-2, 404)):
        last = today + timedelta(days=days)
        client = signed_in(pavement, "contractor", warranty_last_on=last)
        assert view(client, of_defect).status_code == status
        assert client.get(reverse("photo_original", args=[of_defect.pk])).status_code in (403, 404)


def test_former_owner_keeps_its_own_original_and_sees_nothing_that_came_later(pavement):
    sold = timezone.now() - timedelta(days=30)
    seat = factories.SeatFactory(
        pavement=pavement,
        organisation=factories.MembershipFactory().organisation,
        role="owner",
        to_at=sold,
    )
    client = Client()
    client.force_login(seat.organisation.people.get())
    own = stored_photo(pavement, seat.organisation)
    Photo.objects.filter(pk=own.pk).update(entered_at=sold - timedelta(days=1))
    later = stored_photo(pavement, factories.OrganisationFactory())
    answer = client.get(reverse("photo_original", args=[own.pk]))
    assert answer.status_code == 200 and b"".join(answer.streaming_content)
    assert view(client, later).status_code == 404
    assert client.get(reverse("photo_covers", args=[own.pk])).status_code == 403


def test_a_list_of_two_hundred_stays_under_a_megabyte_and_a_half_with_everything(
    own, pavement, organisation
):
    """The worst there is: every thumbnail as large as a thumbnail may be."""
    rng = np.random.default_rng(1)
    noise = Image.fromarray(rng.integers(0, 256, (700, 900, 3), dtype=np.uint8))
    photo = stored_photo(pavement, organisation, photos.jpeg(noise), subject="dirt")
    size = view(own, photo, "list")
    panel = factories.PanelFactory(pavement=pavement, name="AA1234567890"[:12])
    factories.PhotoFactory.create_batch(
        220, pavement=pavement, file=photo.file, panel=panel, taken_on="2024-04-18", number="P-3560"
    )
    page = own.get(reverse("photo_list", args=[pavement.pk]))
    text = page.content.decode()
    assert text.count('loading="lazy"') == 200
    headers = sum(len(name) + len(value) + 4 for name, value in size.items()) + 100
    assert len(page.content) + 200 * (len(size.content) + headers) < 1_500_000
    assert "page 1 of 2" in text


def test_a_list_of_twenty_more_asks_the_database_no_more_often(own, pavement, organisation):
    def ask():
        with CaptureQueriesContext(connection) as asked:
            assert own.get(reverse("photo_list", args=[pavement.pk])).status_code == 200
        return len(asked)

    defect = factories.DefectFactory(pavement=pavement)
    panel = factories.PanelFactory(pavement=pavement)
    made = {"pavement": pavement, "defect": defect, "panel": panel}
    factories.PhotoFactory(**made)
    few = ask()
    factories.PhotoFactory.create_batch(20, **made)
    assert ask() == few


def test_a_list_without_photos_says_what_to_do_first(own, pavement):
    shown = own.get(reverse("photo_list", args=[pavement.pk])).content.decode()
    assert "No photo that you may see" in shown
    assert "Add photos" in shown
