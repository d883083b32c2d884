"""A dossier is made of what its side sees, and its archive is checked again by its script."""

import subprocess
import sys
import zipfile
from datetime import UTC, date, datetime
from pathlib import Path

import pypdf
import pytest

from registry.actions.ask_for_dossier import ask_for_dossier
from registry.actions.make_dossier import make_dossier
from registry.gathering.dossier_files import open_dossier
from registry.models import Dossier, PlacingDay
from registry.models.choices import Role
from tests.claim_rows import lived_through, notice, settled_later, terms
from tests.factories import MembershipFactory, SeatFactory
from tests.placing_factories import (
    CallbackAttachmentFactory,
    CallbackNoteFactory,
    CoreFactory,
    CoverFactory,
    PlacingDayFactory,
    RepairFactory,
    SettlementLineFactory,
    UncoverFactory,
    WinterEntryFactory,
)
from tests.placing_rows import north_lot
from tests.views.stored_photos import stored_photo

pytestmark = pytest.mark.django_db
SECRET, FINISHER = "we would go to forty on lane D", "O. Tarr at the screed"


@pytest.fixture
def callback(db):
    row = notice(terms(pavement=north_lot()), panels=["C4", "C8", "D10"])
    SeatFactory(pavement=row.pavement, role=Role.CONTRACTOR, organisation=row.contractor)
    side = row.contractor
    PlacingDay.objects.update(crew_by_task={"screed": [FINISHER]}, entered_for=side)
    CallbackNoteFactory(callback=row, kind="inside", inside_of=side, text=SECRET, entered_for=side)
    CallbackNoteFactory(callback=row, text="Stones come off.", entered_for=side)
    CoreFactory(callback=row, pavement=row.pavement, panel="C8", density_kg_m3=1897)
    winter = WinterEntryFactory(pavement=row.pavement, panels=["D10"], deicer_kg=34)
    CallbackAttachmentFactory(callback=row, winter_entry=winter)
    photo = stored_photo(row.pavement, side, number="P-3301")
    CallbackAttachmentFactory(callback=row, winter_entry=None, photo=photo)
    SettlementLineFactory(callback=row, panels=["C8"], panels_text="C8")
    new = PlacingDayFactory(
        pavement=row.pavement,
        repair=RepairFactory(pavement=row.pavement, callback=row, panels=["C8"]),
        placed_on=date(2025, 5, 14),
        entered_for=side,
    )
    CoverFactory(placing_day=new, panels=["C8"], last_at=datetime(2025, 5, 14, 15, tzinfo=UTC))
    UncoverFactory(placing_day=new, panels=["C8"], at=datetime(2025, 5, 21, 15, tzinfo=UTC))
    return lived_through(row)


def member_of(callback, organisation=None, role=Role.OWNER):
    if organisation is None:
        organisation = SeatFactory(pavement=callback.pavement, role=role).organisation
    return MembershipFactory(organisation=organisation)


def ask(callback, member, **more) -> Dossier:
    given = {"system": "inch_pound", "paper": "letter", "prepared_by": "somebody", **more}
    return ask_for_dossier(
        callback=callback, organisation=member.organisation, by=member.person, **given
    )


def made(callback, member, **more) -> Dossier:
    row = ask(callback, member, **more)
    make_dossier(row.pk)
    row.refresh_from_db()
    return row


def unpacked(row: Dossier, folder: Path) -> Path:
    with open_dossier(row, "zip") as file, zipfile.ZipFile(file) as archive:
        archive.extractall(folder)
    return folder


def recheck(folder: Path) -> subprocess.CompletedProcess[str]:
    order = [sys.executable, "-I", "-S", "recheck.py"]
    return subprocess.run(order, cwd=folder, capture_output=True, text=True, timeout=120)


def test_archive_is_checked_again_without_the_project_and_a_changed_byte_is_found(
    callback, tmp_path
):
    settled_later(callback)
    row = made(callback, member_of(callback, callback.contractor))
    assert row.state == "made", row.why
    folder = unpacked(row, tmp_path)
    done = recheck(folder)
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr
    assert "all same" in done.stdout and "tau-b of lag: 0.69" in done.stdout
    record = folder / "record.json"
    record.write_bytes(record.read_bytes().replace(b"0.69", b"0.96", 1))
    wrong = recheck(folder)
    assert wrong.returncode == 1 and "differs" in wrong.stdout


def test_nothing_kept_inside_is_in_any_file_of_it(callback, tmp_path):
    for member in (member_of(callback, callback.contractor), member_of(callback)):
        row = made(callback, member)
        assert row.state == "made", row.why
        folder = unpacked(row, tmp_path / str(row.pk))
        said = pypdf.PdfReader(folder / "dossier.pdf")
        words = " ".join(page.extract_text() for page in said.pages)
        for path in (path for path in folder.rglob("*") if path.is_file()):
            held = path.read_bytes()
            assert SECRET.encode() not in held and FINISHER.encode() not in held, path
        assert SECRET not in words and "Tarr" not in words
        assert "Stones come off." in words


def test_original_that_a_side_may_not_have_stays_out_and_is_named(callback, tmp_path):
    stored_photo(callback.pavement, callback.contractor, number="P-9", shown_to="own")
    row = made(callback, member_of(callback))
    folder = unpacked(row, tmp_path)
    assert "P-9" not in (folder / "record.json").read_text(encoding="utf-8")


def test_dossier_that_was_stopped_keeps_nothing(callback):
    row = ask(callback, member_of(callback, callback.contractor))
    Dossier.objects.update(stop_asked=True)
    make_dossier(row.pk)
    row.refresh_from_db()
    assert (row.state, row.pdf_sha256, row.archive_sha256) == ("stopped", "", "")


def test_whoever_lost_the_seat_meanwhile_gets_none(callback):
    member = member_of(callback)
    row = ask(callback, member)
    member.organisation.seats.update(to_at="2024-01-01T00:00Z", from_at="2020-01-01T00:00Z")
    make_dossier(row.pk)
    row.refresh_from_db()
    assert row.state == "refused" and "may no longer" in row.why


def test_job_done_twice_makes_one_dossier(callback):
    row = made(callback, member_of(callback, callback.contractor))
    first = row.archive_sha256
    assert make_dossier(row.pk) == "nothing to do"
    row.refresh_from_db()
    assert row.archive_sha256 == first
