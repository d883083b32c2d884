"""How long a dossier of 200 photos and 44 panels takes, and how much memory.

Run alone: pytest tests/benchmarks/test_dossier.py -m benchmark -s
Asked for: under 30 s and 500 MB. Photos are 12-megapixel JPEGs, each another. The dossier is made
by a process of its own, on a copy of the database as a file and with what the worker's unit sets in
its environment: its peak is the `VmHWM` that Linux keeps for it, from its start to its end. Photos
are made and taken in by the process that starts it, and do not count.
"""

import io
import json
import os
import sqlite3
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from django.conf import settings
from django.db import connection
from PIL import Image

from registry.actions.ask_for_dossier import ask_for_dossier
from registry.actions.make_photo_sizes import make_photo_sizes
from registry.gathering.dossier_files import open_dossier
from registry.models import Callback, Dossier
from registry.models.choices import Role
from tests.benchmarks.test_photo_intake import ROOT, SET_FOR_WORKERS
from tests.claim_rows import lived_through, notice, terms
from tests.factories import MembershipFactory, SeatFactory
from tests.placing_factories import CallbackAttachmentFactory
from tests.placing_rows import north_lot
from tests.views.stored_photos import stored_photo

pytestmark = [
    pytest.mark.benchmark,
    pytest.mark.slow,
    pytest.mark.django_db(transaction=True),
    pytest.mark.skipif(connection.vendor != "sqlite", reason="it copies an SQLite database"),
]
PHOTOS, MOST_S, MOST_MB = 200, 30.0, 500
SIZE = (4000, 3000)

WORKER = """
import json, sys, time
import django
django.setup()
from registry.actions.make_dossier import make_dossier
from registry.models import Dossier
cpu, clock = time.process_time(), time.monotonic()
make_dossier(int(sys.argv[1]))
cpu, clock = time.process_time() - cpu, time.monotonic() - clock
kept = Dossier.objects.values(
    "state", "why", "pages", "photos", "photos_left_out", "archive_bytes", "archive_sha256"
).get()
peak_kb = int(open("/proc/self/status").read().split("VmHWM:")[1].split()[0])
print(json.dumps(kept | {"cpu": cpu, "clock": clock, "peak_mb": peak_kb / 1024}))
"""


def jpeg(nth: int) -> bytes:
    """Noise under a slope, so that it compresses like a picture of concrete, about 4 MB."""
    small = Image.effect_noise((1000, 750), 60 + nth % 40).resize(SIZE, Image.Resampling.BICUBIC)
    file = io.BytesIO()
    Image.merge("RGB", [small, small, small]).save(file, "JPEG", quality=88, comment=str(nth))
    return file.getvalue()


def claimed_with_photos() -> Callback:
    panels = [f"{lane}{n}" for lane in "ABCD" for n in range(1, 12)]
    row = notice(terms(pavement=north_lot()), panels=panels)
    SeatFactory(pavement=row.pavement, role=Role.CONTRACTOR, organisation=row.contractor)
    for nth in range(PHOTOS):
        photo = stored_photo(row.pavement, row.contractor, data=jpeg(nth), number=f"P-{nth:03}")
        make_photo_sizes(photo.file_id)
        CallbackAttachmentFactory(callback=row, winter_entry=None, photo=photo)
    return lived_through(row)


def made_alone(dossier: Dossier, database: Path) -> dict:
    """What a worker of its own tells of the dossier it made."""
    with sqlite3.connect(database) as copy:
        connection.connection.backup(copy)
    copy.close()
    own = {
        "DJANGO_SETTINGS_MODULE": "registry.settings",
        "REGISTRY_DATABASE_URL": f"sqlite:///{database}",
        "REGISTRY_MEDIA_ROOT": str(settings.MEDIA_ROOT),
        "REGISTRY_DEBUG": "true",
    }
    done = subprocess.run(
        [sys.executable, "-c", WORKER, str(dossier.pk)],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
        env=os.environ | SET_FOR_WORKERS | own,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_two_hundred_photos_and_44_panels(tmp_path: Path):
    row = claimed_with_photos()
    member = MembershipFactory(organisation=row.contractor)
    asked = {"system": "inch_pound", "paper": "letter", "prepared_by": "somebody"}
    dossier = ask_for_dossier(callback=row, organisation=row.contractor, by=member.person, **asked)
    told = made_alone(dossier, tmp_path / "copy.sqlite3")
    print(
        f"\n{told['pages']} pages, {told['photos']} photos,"
        f" {told['archive_bytes'] / 1e6:.0f} MB: {told['cpu']:.1f} s of the processor,"
        f" {told['clock']:.1f} s by the clock, peak {told['peak_mb']:.0f} MB"
    )
    assert told["state"] == "made", told["why"]
    assert (told["photos"], told["photos_left_out"]) == (PHOTOS, 0)
    dossier.archive_sha256 = told["archive_sha256"]
    with open_dossier(dossier, "zip") as file, zipfile.ZipFile(file) as archive:
        assert sum(name.startswith("photos/") for name in archive.namelist()) == PHOTOS
    assert told["clock"] < MOST_S and told["peak_mb"] < MOST_MB
