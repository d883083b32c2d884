"""The loaded photos against table 1G: what the files say, and what the table adds to it."""

from zoneinfo import ZoneInfo

import pytest

from registry.demo.people import CONTRACTOR, Cast
from registry.demo.photos import NORTH_LOT, SHOWN, add_photos
from registry.demo.tables import read_table
from registry.gathering.photo_files import read_original, read_view
from registry.models import Photo
from tests import factories

pytestmark = pytest.mark.django_db


@pytest.fixture
def lot():
    lot = factories.PavementFactory(site__time_zone="America/New_York", lat=44.0912, lon=-69.6204)
    for name in ("C8", "C10", "D10", "D11"):
        factories.PanelFactory(pavement=lot, name=name)
    factories.DefectFactory(pavement=lot, other_number="D-103")
    organisation = factories.OrganisationFactory(name=CONTRACTOR)
    assert add_photos(Cast({CONTRACTOR: organisation}, {}, []), {NORTH_LOT: lot}) == 7
    return lot


@pytest.fixture
def by_number(lot):
    return {row.number: row for row in Photo.objects.select_related("file", "panel", "defect")}


def test_every_line_is_a_photo_with_its_sizes_made(by_number):
    assert by_number.keys() == SHOWN.keys() == {line["photo"] for line in read_table("1G_photos")}
    assert {row.file.sizes_state for row in by_number.values()} == {"made"}
    assert all(read_view(row, size, is_covered=False) for row in by_number.values()
               for size in ("list", "page", "copy"))  # fmt: skip


def test_camera_times_stand_in_the_files_as_the_table_has_them(by_number):
    for line in read_table("1G_photos"):
        stored = by_number[line["photo"]].camera_time
        dated = line["camera time"][:1].isdigit()
        assert stored == (f"{line['camera time'].replace('-', ':')}:00" if dated else "")


def test_turned_heic_is_upright_in_view_and_kept_as_it_came(by_number):
    row = by_number["P-3560"]
    assert (row.file.kind, row.file.stamps["orientation"]) == ("heic", 6)
    assert row.file.page_height_px > row.file.page_width_px
    assert read_original(row.file)[4:12] == b"ftypheic"


def test_slow_clock_has_its_true_time_beside_the_camera_time(by_number):
    row = by_number["P-3561"]
    assert row.camera_time == "2024:04:18 13:22:00"
    at_the_lot = row.true_at.astimezone(ZoneInfo("America/New_York"))
    assert f"{at_the_lot:%Y-%m-%d %H:%M}" == "2024-04-18 14:22"
    assert "1 h slow" in row.true_how
    assert (row.panel.name, row.defect.other_number) == ("D10", "D-103")


def test_message_without_data_is_undated_and_the_owners_word_is_a_note_alone(by_number):
    row = by_number["P-3702"]
    assert row.is_undated and row.camera_time == "" and row.device == ""
    assert row.sent_by == "message"
    assert "January 2024" in row.note


def test_positions_and_cards_are_as_the_table_says(by_number):
    placed = {number for number, row in by_number.items() if row.latitude is not None}
    assert placed == {"P-3301", "P-3302"}
    assert by_number["P-3417"].place_known_by == "card"
    assert by_number["P-3417"].panel.name == "C10"
