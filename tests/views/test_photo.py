"""The photo set: every kind of file that people send, through the page, with its stated outcome."""

import os
import re
import struct
import zlib
from datetime import UTC, date, datetime
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from registry.actions.make_photo_sizes import make_photo_copy, make_photo_sizes
from registry.forms.photo import MOST_PHOTOS, THINGS, PhotoForm
from registry.forms.uploads import NAMELESS
from registry.gathering.photo_files import read_original
from registry.models import JournalLine, Pavement, Photo, PhotoFile
from tests import factories
from tests.imaging import lots, photos
from tests.imaging.exif_bytes import taken
from tests.views.record import manager_of, wrongs

FT = 0.3048
SOME = {"subject": "whole", "shown_to": "all"}


@pytest.fixture
def pavement(db, client):
    pavement, person = manager_of()
    client.force_login(person)
    return pavement


def send(client, pavement, *files, **given):
    """Send files, (name, bytes) each, through the page as a browser does."""
    chosen = [SimpleUploadedFile(name, data, "image/jpeg") for name, data in files]
    address = reverse("photo_add", args=[pavement.pk])
    return client.post(address, {**SOME, **given, "chosen": chosen})


def keep(client, pavement, data, name="IMG_0001.jpg", **given):
    """Send one photo that is kept, have its sizes made, and return it."""
    answer = send(client, pavement, (name, data), **given)
    assert answer.status_code == 302, [one.why for one in answer.context["sent"]]
    photo = Photo.objects.latest("pk")
    make_photo_sizes(photo.file_id)
    make_photo_copy(photo.pk)
    photo.refresh_from_db()
    return photo


def refusal(client, pavement, data, name="IMG_0001.jpg"):
    """Send one file that is refused, and return the reason; nothing is stored."""
    answer = send(client, pavement, (name, data))
    assert answer.status_code == 200
    assert not PhotoFile.objects.exists()
    (one,) = answer.context["sent"]
    assert one.why in answer.content.decode().replace("&#x27;", "'")
    return one.why


def seen(client, photo, size="page"):
    answer = client.get(reverse("photo_view", args=[photo.pk, size]))
    assert answer.status_code == 200
    return Image.open(BytesIO(answer.content))


def original(client, photo):
    answer = client.get(reverse("photo_original", args=[photo.pk]))
    return b"".join(answer.streaming_content)


def page(client, photo):
    return client.get(reverse("photo_page", args=[photo.pk])).content.decode()


@pytest.mark.parametrize("turn", range(1, 9))
def test_each_of_eight_turns_is_upright_in_view_and_untouched_on_record(client, pavement, turn):
    stored = photos.stored_under(np.asarray(photos.quarters(160, 96)), turn)
    data = photos.jpeg(Image.fromarray(stored), exif=taken(orientation=turn))
    photo = keep(client, pavement, data)
    for size in ("list", "page", "copy"):
        picture = seen(client, photo, size)
        assert picture.width > picture.height
        assert photos.corner_colours(picture) == photos.UPRIGHT
    assert original(client, photo) == data
    assert photo.file.stamps["orientation"] == turn


def test_a_heic_of_a_phone_is_shown_as_jpeg_and_handed_out_as_it_came(client, pavement):
    data = photos.heic(exif=taken("2024:04:18 14:20:00"))
    photo = keep(client, pavement, data, "IMG_0002.HEIC")
    assert (photo.file.kind, photo.taken_on) == ("heic", date(2024, 4, 18))
    assert seen(client, photo, "copy").format == "JPEG"
    answer = client.get(reverse("photo_original", args=[photo.pk]))
    assert b"".join(answer.streaming_content) == data
    assert answer["Content-Type"] == "image/heic"
    assert answer["Content-Disposition"] == f'attachment; filename="photo-{photo.pk}.heic"'


def test_a_photo_without_stamps_is_undated_and_stays_so(client, pavement):
    photo = keep(client, pavement, photos.jpeg())
    assert (photo.taken_on, photo.true_at, photo.camera_time, photo.device) == (None, None, "", "")
    assert "Undated: the file carries no camera time" in page(client, photo)
    answer = client.post(
        reverse("photo_time", args=[photo.pk]), {"way": "right", "error": "", "why": "she says so"}
    )
    assert "stays undated" in answer.content.decode()
    photo.refresh_from_db()
    assert photo.taken_on is None


def test_case_36_a_clock_an_hour_slow_has_its_true_time_beside_the_camera_time(client, pavement):
    photo = keep(client, pavement, photos.jpeg(exif=taken("2024:04:18 13:22:00")))
    assert photo.true_at is None, "nobody said the clock was right"
    address = reverse("photo_time", args=[photo.pk])
    assert "error" in wrongs(client.post(address, {"way": "slow", "why": "winter time"}))
    answer = client.post(address, {"way": "slow", "error": "1 h", "why": "still on winter time"})
    assert answer.status_code == 302
    photo.refresh_from_db()
    assert photo.camera_time == "2024:04:18 13:22:00"
    assert photo.true_at == datetime(2024, 4, 18, 18, 22, tzinfo=UTC)  # 14:22 at UTC-4
    shown = page(client, photo)
    for words in ("2024:04:18 13:22:00", "2024-04-18 14:22", "still on winter time"):
        assert words in shown
    assert photo.file.stamps["camera_time"] == "2024:04:18 13:22:00"


def test_a_true_time_that_came_twice_is_asked_and_one_across_midnight_moves_the_day(
    client, pavement
):
    photo = keep(client, pavement, photos.jpeg(exif=taken("2025:11:02 00:30:00")))
    address = reverse("photo_time", args=[photo.pk])
    given = {"way": "slow", "error": "1 h", "why": "clock in the picture"}
    assert "came twice" in client.post(address, given).content.decode()
    assert client.post(address, {**given, "fold": "1"}).status_code == 302
    photo.refresh_from_db()
    assert photo.true_at == datetime(2025, 11, 2, 6, 30, tzinfo=UTC)
    client.post(address, {"way": "fast", "error": "1 h", "why": "the other way round"})
    photo.refresh_from_db()
    assert photo.taken_on == date(2025, 11, 1)


def test_a_camera_time_with_its_offset_dates_the_photo_by_the_clocks_at_the_site(client, pavement):
    exif = taken("2024:04:19 01:30:00", offset="+02:00")
    photo = keep(client, pavement, photos.jpeg(exif=exif))
    assert photo.taken_on == date(2024, 4, 18), "19:30 of the day before in New York"


@pytest.mark.parametrize("offset", ["+99:99", "sometime", "+0\0:00"])
def test_an_offset_that_is_none_leaves_the_day_that_the_camera_stored(client, pavement, offset):
    photo = keep(client, pavement, photos.jpeg(exif=taken("2024:04:18 13:22:00", offset=offset)))
    assert photo.taken_on == date(2024, 4, 18)
    assert "\0" not in str(photo.file.stamps["camera_offset"])


@pytest.mark.parametrize("stored", ["2999:01:01 12:00:00", "2024:13:45 99:99:99", "yesterday"])
def test_a_camera_time_that_is_none_or_has_not_come_dates_nothing(client, pavement, stored):
    photo = keep(client, pavement, photos.jpeg(exif=taken(stored)))
    assert photo.taken_on is None
    assert photo.camera_time == stored
    assert "no day and time that has come yet" in page(client, photo)


@pytest.fixture
def on_earth(pavement):
    """Our lot of 30 m by 40 m at the corner of two lots, and the neighbour's east of it."""
    seat = pavement.seats.get()
    neighbour = factories.PavementFactory(name="Mill lot")
    factories.SeatFactory(pavement=neighbour, organisation=seat.organisation, role="manager")
    for row, west_m in ((pavement, 0.0), (neighbour, 30.0)):
        row.datum_lon, row.datum_lat = lots.at(west_m, 0)
        row.bearing_of_up_deg = 0.0
        row.save(update_fields=["datum_lon", "datum_lat", "bearing_of_up_deg"])
        factories.PanelFactory(pavement=row, name="A1", width_m=30, length_m=40)
        factories.PlanFactory(pavement=row, outline=[[0, 0], [30, 0], [30, 40], [0, 40]])
    return pavement


def test_case_37_a_position_20_ft_off_tells_the_site_alone_and_the_card_keeps_the_panel(
    client, on_earth
):
    here = lots.at(30 - 4 * FT + 20 * FT, 20)
    panel = on_earth.panels.get()
    data = photos.jpeg(exif=taken(position=here, error_m=5))
    photo = keep(client, on_earth, data, panel=panel.pk, place_known_by="card")
    assert (photo.pavement, photo.panel) == (on_earth, panel)
    assert "lies in Mill lot, 5 m (16 ft) from" in photo.position_says
    assert "panel A1 is kept" in photo.position_says
    assert "Mill lot" in page(client, photo)


def test_a_position_on_the_lot_agrees_and_no_position_says_so(client, on_earth):
    inside = keep(client, on_earth, photos.jpeg(exif=taken(position=lots.at(10, 20))))
    assert inside.position_says == f"The photo's position agrees with {on_earth.name}."
    without = keep(client, on_earth, photos.jpeg())
    assert without.position_says == ""


def test_a_site_that_is_only_a_point_on_the_map_still_tells_another_town(client, pavement):
    pavement.lon, pavement.lat = lots.HOME
    pavement.save(update_fields=["lon", "lat"])
    photo = keep(client, pavement, photos.jpeg(exif=taken(position=lots.at(20_000, 0))))
    assert "20.0 km (12.4 miles) from" in photo.position_says


def test_a_panel_without_how_it_is_known_is_asked(client, pavement):
    panel = factories.PanelFactory(pavement=pavement)
    answer = send(client, pavement, ("a.jpg", photos.jpeg()), panel=panel.pk)
    assert "place_known_by" in wrongs(answer)
    assert not Photo.objects.exists()


@pytest.mark.parametrize(
    ("name", "make", "reason"),
    [
        ("truncated", lambda: photos.jpeg()[:-40], "did not arrive whole"),
        ("empty", lambda: b"", "The file is empty."),
        ("bomb", lambda: bomb(60_000, 60_000), "more than 200 megapixels"),
        ("liar", lambda: photos.with_jpeg_size(photos.jpeg(), 60_000, 60_000), "200 megapixels"),
        ("svg", lambda: b"<svg xmlns='http://www.w3.org/2000/svg'/>", "a web page or a drawing"),
        ("html", lambda: b"<!doctype html><script>alert(1)</script>", "a web page or a drawing"),
        ("gif", lambda: photos.saved(photos.quarters(), "GIF"), "a GIF picture"),
        ("moving png", lambda: moving("PNG"), "This PNG moves"),
        ("moving webp", lambda: moving("WEBP"), "a WebP picture"),
        ("pdf", lambda: b"%PDF-1.7", "a PDF document"),
    ],
)
def test_what_is_no_still_photo_is_refused_in_words_whatever_its_name(
    client, pavement, name, make, reason
):
    assert reason in refusal(client, pavement, make(), f"{name}.jpg")


def test_no_file_is_told_in_words(client, pavement):
    (why,) = wrongs(send(client, pavement))["chosen"]
    assert "No photo arrived" in why
    assert not PhotoFile.objects.exists()


@pytest.mark.parametrize("name", ["\u200b", "..", "DCIM/"])
def test_a_file_whose_name_shows_nothing_is_taken_among_others_as_any(client, pavement, name):
    sent = [("a.jpg", photos.jpeg()), (name, photos.jpeg(quality=90)), (name, b"GIF89a")]
    answer = send_raw(client, pavement, *sent)
    assert [(one.name, one.why[:32]) for one in answer.context["sent"]] == [
        ("a.jpg", ""),
        (NAMELESS, ""),
        (NAMELESS, "This file is a GIF picture, whic"),
    ]
    assert Photo.objects.count() == 2
    assert "No photo arrived" in str(wrongs(send_raw(client, pavement, ("", b"")))["chosen"])


def test_a_file_sent_under_no_name_at_all_is_counted_where_the_page_told_how_many(client, pavement):
    sent = [("a.jpg", photos.jpeg()), ("", photos.jpeg(quality=90))]
    answer = send_raw(client, pavement, *sent, **{"chosen-count": "2"})
    stored, lost = answer.context["sent"]
    assert stored.photo == Photo.objects.get()
    assert lost.why.startswith("1 of the 2 chosen did not arrive.")
    for told in ({}, {"chosen-count": "1"}, {"chosen-count": "\u00b2"}):
        assert send_raw(client, pavement, *sent, **told).status_code == 302, "nothing to compare"


def send_raw(client, pavement, *files, **more):
    """Send files under names as they are, which the test client would not write."""
    body = BytesIO()
    for name, value in (SOME | more).items():
        body.write(f'--cut\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n'.encode())
        body.write(value.encode() + b"\r\n")
    for name, data in files:
        told = f'--cut\r\nContent-Disposition: form-data; name="chosen"; filename="{name}"\r\n\r\n'
        body.write(told.encode() + data + b"\r\n")
    body.write(b"--cut--\r\n")
    address = reverse("photo_add", args=[pavement.pk])
    return client.generic("POST", address, body.getvalue(), "multipart/form-data; boundary=cut")


def bomb(width, height):
    """A PNG of a few hundred bytes that promises more pixels than a machine has memory for."""
    rows = zlib.compress(b"\0" * 4096, 9)
    header = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    chunks = [(b"IHDR", header), (b"IDAT", rows), (b"IEND", b"")]
    data = b"\x89PNG\r\n\x1a\n" + b"".join(photos.chunk(*one) for one in chunks)
    assert len(data) < 1_000
    return data


def moving(kind):
    frames = [photos.quarters(), photos.quarters().rotate(180)]
    return photos.saved(frames[0], kind, save_all=True, append_images=frames[1:])


def test_the_proxy_lets_through_what_the_form_promises(db, settings):
    conf = (Path(settings.BASE_DIR) / "deploy/proxy/nginx.conf").read_text()
    (limit,) = re.findall(r"client_max_body_size (\d+)m;", conf)
    form = PhotoForm(pavement=None, rows=dict.fromkeys(THINGS, Pavement.objects.none()))
    assert f"{limit} MB at once" in form.fields["chosen"].help_text
    assert settings.DATA_UPLOAD_MAX_NUMBER_FILES > MOST_PHOTOS
    assert settings.FILE_UPLOAD_MAX_MEMORY_SIZE < 60_000_000, "large files wait on disk"


def test_a_file_over_60_megabytes_is_refused_before_it_is_read(client, pavement, monkeypatch):
    monkeypatch.setattr("registry.views.photo.MOST_BYTES", 1_000)
    assert "up to 0 MB are taken" in refusal(client, pavement, photos.jpeg() + b"\0" * 2_000)


@pytest.mark.parametrize(
    ("name", "make"),
    [
        ("cmyk.jpg", lambda: photos.jpeg(photos.quarters().convert("CMYK"))),
        ("deep.png", lambda: photos.png_16_bit(sixteen_bits())),
        ("fine.png", lambda: photos.saved(photos.quarters(), "PNG")),
        ("named wrongly.heic", lambda: photos.jpeg()),
    ],
)
def test_cmyk_and_16_bit_are_kept_as_they_came_and_shown_in_their_colours(
    client, pavement, name, make
):
    data = make()
    photo = keep(client, pavement, data, name)
    assert photos.corner_colours(seen(client, photo)) == photos.UPRIGHT
    assert original(client, photo) == data


def sixteen_bits():
    return np.asarray(photos.quarters()).astype(np.uint16) * 257


@pytest.mark.slow
def test_a_hundred_megapixels_are_kept_and_shown_small(client, pavement):
    data = photos.jpeg(photos.quarters(12_000, 8_400))
    photo = keep(client, pavement, data)
    assert photo.file.width_px * photo.file.height_px == 100_800_000
    assert seen(client, photo).size == (1600, 1120)
    assert seen(client, photo, "copy").size == (4096, 2867)
    assert original(client, photo) == data


def test_damage_inside_a_heic_is_found_in_the_background_and_said(client, pavement):
    data = bytearray(photos.heic(photos.quarters(256, 256)))
    at = data.index(b"mdat") + 40
    data[at : at + 60] = os.urandom(60)
    photo = keep(client, pavement, bytes(data))
    if photo.file.sizes_state == "made":  # the decoder found a picture in it all the same
        assert seen(client, photo).size == (256, 256)
        return
    shown = page(client, photo)
    assert "This photo cannot be shown." in shown
    assert photo.file.sizes_why in shown
    assert original(client, photo) == bytes(data)


def test_good_photos_of_a_row_are_stored_and_bad_ones_named(client, pavement):
    answer = send(
        client,
        pavement,
        ("good.jpg", photos.jpeg()),
        ("page.jpg", b"<html>"),
        ("other.png", photos.saved(photos.quarters(), "PNG")),
    )
    assert answer.status_code == 200
    assert [bool(one.photo) for one in answer.context["sent"]] == [True, False, True]
    assert Photo.objects.count() == 2
    text = answer.content.decode()
    assert "page.jpg: <span" in text
    assert "not stored. This file is a web page" in text


def test_the_same_bytes_twice_are_one_file_and_on_one_thing_one_photo(client, pavement):
    data = photos.jpeg()
    first = keep(client, pavement, data)
    assert send(client, pavement, ("again.jpg", data)).url == f"/photos/{first.pk}/"
    assert (Photo.objects.count(), PhotoFile.objects.count()) == (1, 1)
    defect = factories.DefectFactory(pavement=pavement)
    keep(client, pavement, data, subject="defect", defect=defect.pk)
    assert (Photo.objects.count(), PhotoFile.objects.count()) == (2, 1)
    assert read_original(first.file) == data


@pytest.mark.parametrize("field", ["defect", "visit", "infiltration_test", "panel"])
@pytest.mark.parametrize("value", ["9" * 30, "x", "²"])
def test_things_that_are_not_there_are_refused(client, pavement, field, value):
    factories.DefectFactory(pavement=pavement)
    factories.VisitFactory(pavement=pavement)
    factories.PanelFactory(pavement=pavement)
    factories.InfiltrationTestFactory(pavement=pavement)
    answer = send(client, pavement, ("a.jpg", photos.jpeg()), **{field: value})
    assert field in wrongs(answer)


def test_a_thing_of_another_pavement_is_not_to_be_chosen(client, pavement):
    factories.DefectFactory(pavement=pavement)
    other = factories.DefectFactory()
    answer = send(client, pavement, ("a.jpg", photos.jpeg()), defect=other.pk)
    assert "defect" in wrongs(answer)


def test_no_file_and_too_many_are_told(client, pavement):
    assert "chosen" in wrongs(send(client, pavement))
    many = [(f"{n}.jpg", b"x") for n in range(41)]
    assert "up to 40" in str(wrongs(send(client, pavement, *many))["chosen"])


def test_after_sending_one_goes_on_to_a_page_of_this_site_only(client, pavement):
    ours = reverse("pavement_page", args=[pavement.pk])
    assert send(client, pavement, ("a.jpg", photos.jpeg()), next=ours).url == ours
    answer = send(client, pavement, ("a.jpg", photos.jpeg()), next="https://evil.example/")
    assert answer.url.startswith("/photos/")


def shown_of(client, address):
    """What a correction page says that its reader had before their eyes."""
    return client.get(address).context["form"]["seen"].value()


def test_a_panel_named_wrongly_is_put_right_by_a_line_and_the_position_is_asked_again(
    client, on_earth
):
    wrong = on_earth.panels.get()
    right = factories.PanelFactory(pavement=on_earth, name="C8", right_m=90, width_m=3, length_m=3)
    data = photos.jpeg(exif=taken(position=lots.at(36, 20), error_m=5))
    photo = keep(client, on_earth, data, panel=wrong.pk, place_known_by="card")
    address = reverse("photo_correct", args=[photo.pk])
    seen = shown_of(client, address)
    given = {"subject": "panel", "panel": right.pk, "place_known_by": "card", "seen": seen}
    assert "why" in wrongs(client.post(address, given))
    assert client.post(address, {**given, "why": "read the card anew"}).status_code == 302
    photo.refresh_from_db()
    assert (photo.panel, photo.subject) == (right, "panel")
    assert "panel C8 is kept" in photo.position_says
    line = JournalLine.objects.corrections().get()
    assert line.changes["panel"] == [str(wrong), str(right)]
    again = {**given, "why": "again", "seen": shown_of(client, address)}
    assert "Nothing was changed" in str(wrongs(client.post(address, again)))
    assert original(client, photo) == data


def test_a_defect_that_one_may_not_see_any_more_stays_with_the_photo(client, pavement):
    photo = keep(client, pavement, photos.jpeg())
    defect = factories.DefectFactory(pavement=pavement, void_at="2024-05-01T00:00Z", void_why="x")
    Photo.objects.filter(pk=photo.pk).update(defect=defect)
    factories.DefectFactory(pavement=pavement)
    address = reverse("photo_correct", args=[photo.pk])
    given = {"subject": "dirt", "why": "it is the bank", "seen": shown_of(client, address)}
    answer = client.post(address, {**given, "place_known_by": ""})
    assert answer.status_code == 302
    photo.refresh_from_db()
    assert (photo.defect, photo.subject) == (defect, "dirt")
