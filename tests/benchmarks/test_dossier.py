"""How long a dossier of 200 photos and 44 panels takes, and how much memory.

Run alone: pytest tests/benchmarks/test_dossier.py -m benchmark -s
Asked for: under 30 s and 500 MB. Photos are 12-megapixel JPEGs, each another; memory is the peak of
this process (`ru_maxrss`), the photos taken in by another one before.
"""

import io
import resource
import time

import pytest
from PIL import Image

from registry.actions.ask_for_dossier import ask_for_dossier
from registry.actions.make_dossier import make_dossier
from registry.actions.make_photo_sizes import make_photo_sizes
from registry.models.choices import Role
from tests.claim_rows import lived_through, notice, terms
from tests.factories import MembershipFactory, SeatFactory
from tests.placing_factories import CallbackAttachmentFactory
from tests.placing_rows import north_lot
from tests.views.stored_photos import stored_photo

pytestmark = [pytest.mark.benchmark, pytest.mark.slow, pytest.mark.django_db]
PHOTOS, MOST_S, MOST_MB = 200, 30.0, 500
SIZE = (4000, 3000)


def jpeg(nth: int) -> bytes:
    """Noise under a slope, so that it compresses like a picture of concrete, about 3 MB."""
    small = Image.effect_noise((1000, 750), 60 + nth % 40).resize(SIZE, Image.Resampling.BICUBIC)
    file = io.BytesIO()
    Image.merge("RGB", [small, small, small]).save(file, "JPEG", quality=88, comment=str(nth))
    return file.getvalue()


def test_two_hundred_photos_and_44_panels():
    panels = [f"{lane}{n}" for lane in "ABCD" for n in range(1, 12)]
    row = notice(terms(pavement=north_lot()), panels=panels)
    side = row.contractor
    SeatFactory(pavement=row.pavement, role=Role.CONTRACTOR, organisation=side)
    for nth in range(PHOTOS):
        photo = stored_photo(row.pavement, side, data=jpeg(nth), number=f"P-{nth:03}")
        make_photo_sizes(photo.file_id)
        CallbackAttachmentFactory(callback=row, winter_entry=None, photo=photo)
    lived_through(row)
    member = MembershipFactory(organisation=side)
    asked = {"system": "inch_pound", "paper": "letter", "prepared_by": "somebody"}
    dossier = ask_for_dossier(callback=row, organisation=side, by=member.person, **asked)
    before = peak_mb()
    begun, clock = time.process_time(), time.monotonic()
    assert make_dossier(dossier.pk) == "made"
    cpu, wall = time.process_time() - begun, time.monotonic() - clock
    dossier.refresh_from_db()
    print(
        f"\n{dossier.pages} pages, {dossier.photos} photos, {dossier.archive_bytes / 1e6:.0f} MB:"
        f" {cpu:.1f} s of the processor, {wall:.1f} s by the clock, peak {peak_mb():.0f} MB"
        f" (before it {before:.0f}, making the photos included)"
    )
    assert wall < MOST_S and peak_mb() < MOST_MB


def peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
