"""Photos of 12 megapixels are taken in at 4 a second or better on two cores, under 400 MB.

Run with `pytest -m benchmark --benchmark-enable tests/benchmarks/test_photo_intake.py -s`. Intake
is all that a photo needs before it is listed: accepted, stamps read, both sizes made. Two worker
processes take in photos side by side. What counts is processor time, so that other work on the
machine does not: two cores give two seconds of it a second. The rate by the clock on the wall is
printed beside it.

They run with what the worker's unit sets in their environment. Of a HEIC nine tenths of the time
are spent in its decoder, which is printed beside: on two slow cores that alone can miss the aim,
and the aim stays.
"""

import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from io import BytesIO
from pathlib import Path

import numpy as np
import pillow_heif
import pytest
from PIL import Image

from registry.imaging import make_sizes
from tests.imaging.exif_bytes import taken
from tests.imaging.heic_grids import repeated
from tests.imaging.photos import jpeg, saved

pytestmark = [pytest.mark.benchmark, pytest.mark.slow]
SIZE = (4032, 3024)
KINDS = ("jpeg", "progressive", "png", "heic")
CORES, PHOTOS_EACH, LEAST_A_SECOND = 2, 6, 4.0
HEIC_QUALITY = 48  # about 1.6 MB, as phones write them
MOST_MB = 400
LIST_OF_200_BYTES = 1_500_000

ROOT = Path(__file__).parents[2]
SET_FOR_WORKERS = dict(
    line.removeprefix("Environment=").split("=", 1)
    for line in (ROOT / "deploy/units/registry-worker.service").read_text().splitlines()
    if line.startswith("Environment=")
)

SPEED_OF_INTAKE = """
import sys, time
from io import BytesIO
from PIL import Image
from registry.imaging import accept, make_sizes, read_stamps
from registry.imaging.kinds import Kind, kind_of
from registry.imaging.opening import load_heic
data = sys.stdin.buffer.read()
def take_in():
    accept(data), read_stamps(data), make_sizes(data)
def decode_bare():
    if kind_of(data) is Kind.HEIC:
        load_heic(data)
    else:
        Image.open(BytesIO(data)).load()
take = {"intake": take_in, "bare": decode_bare}[sys.argv[2]]
take()
wall, cpu = time.perf_counter(), time.process_time()
for _ in range(int(sys.argv[1])):
    take()
print(time.perf_counter() - wall, time.process_time() - cpu)
"""
MEMORY_OF_INTAKE = """
import sys
from registry.imaging import accept, make_sizes, read_stamps
data = sys.stdin.buffer.read()
for _ in range(5):
    accept(data), read_stamps(data), make_sizes(data)
status = open("/proc/self/status").read()
print(status.split("VmHWM:")[1].split()[0])
"""


@pytest.fixture(scope="module")
def photo() -> Image.Image:
    """Stones of several sizes in grey, with the noise of a small sensor."""
    rng = np.random.default_rng(1)
    width, height = SIZE
    grey = np.full((height, width), 120.0, np.float32)
    for stone_px, contrast in ((1, 6), (4, 16), (16, 18), (64, 10)):
        noise = rng.standard_normal((height // stone_px + 2, width // stone_px + 2))
        grey += contrast * np.asarray(
            Image.fromarray(noise.astype(np.float32)).resize(SIZE, Image.Resampling.BICUBIC)
        )
    shades = [np.clip(grey * tint, 0, 255).astype(np.uint8) for tint in (1.0, 0.97, 0.9)]
    return Image.fromarray(np.dstack(shades))


@pytest.fixture(scope="module")
def large() -> Image.Image:
    """A hundred megapixels with detail enough that nothing of it deflates to nothing."""
    rng = np.random.default_rng(2)
    tile = rng.integers(90, 140, (1000, 1000, 3), dtype=np.uint8)
    return Image.fromarray(np.tile(tile, (10, 10, 1)))


@pytest.fixture(scope="module")
def files(photo: Image.Image) -> dict[str, bytes]:
    exif = taken(orientation=6, position=(-71.4, 41.8))
    heic = BytesIO()
    pillow_heif.from_pillow(photo).save(heic, quality=HEIC_QUALITY, exif=b"Exif\0\0" + exif)
    return {
        "jpeg": jpeg(photo, exif=exif, quality=90),
        "progressive": jpeg(photo, exif=exif, quality=90, progressive=True),
        "png": saved(photo, "PNG", compress_level=3),
        "heic": heic.getvalue(),
    }


def seconds_of_a_worker(data: bytes, what: str) -> tuple[float, float]:
    """Seconds by the wall and of the processor that one process takes for PHOTOS_EACH.

    what   "intake", or "bare": no more than every pixel decoded, by the library as it is
    """
    done = subprocess.run(
        [sys.executable, "-c", SPEED_OF_INTAKE, str(PHOTOS_EACH), what],
        input=data,
        capture_output=True,
        check=True,
        cwd=ROOT,
        env=os.environ | SET_FOR_WORKERS,
    )
    wall, cpu = done.stdout.split()
    return float(wall), float(cpu)


@pytest.mark.parametrize("kind", KINDS)
def test_two_workers_take_in_four_photos_a_second(files, kind):
    bare, _ = photos_a_second(files[kind], "bare")
    by_processor, by_the_wall = photos_a_second(files[kind], "intake")
    print(
        f"{kind}: {by_processor:.1f} a second by processor time, {by_the_wall:.1f} by the wall; "
        f"{bare:.1f} where every pixel is decoded and nothing else done"
    )
    assert by_processor >= LEAST_A_SECOND


def photos_a_second(data: bytes, what: str) -> tuple[float, float]:
    """Photos that two workers take in a second of the processors', and of the wall's."""
    with ThreadPoolExecutor(CORES) as pool:
        told = list(pool.map(lambda _: seconds_of_a_worker(data, what), range(CORES)))
    walls, cpus = zip(*told, strict=True)
    photos_all = CORES * PHOTOS_EACH
    return photos_all / (sum(cpus) / CORES), photos_all / max(walls)


@pytest.mark.parametrize("kind", KINDS)
def test_two_hundred_of_a_list_are_small(files, kind):
    assert 200 * len(make_sizes(files[kind]).in_list.data) < LIST_OF_200_BYTES


@pytest.mark.parametrize("kind", KINDS)
def test_intake_stays_under_four_hundred_megabytes(files, kind):
    done = subprocess.run(
        [sys.executable, "-c", MEMORY_OF_INTAKE],
        input=files[kind],
        capture_output=True,
        check=True,
        cwd=ROOT,
        env=os.environ | SET_FOR_WORKERS,
    )
    peak_mb = int(done.stdout) / 1024
    print(f"{kind}: {len(files[kind]) / 1e6:.1f} MB, peak {peak_mb:.0f} MB")
    assert peak_mb < MOST_MB


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_hundred_megapixels_stay_under_four_hundred_megabytes_too(large, kind):
    data = BytesIO()
    large.save(data, kind)
    assert peak_mb(data.getvalue(), f"{kind}, 100 megapixels") < MOST_MB


@pytest.mark.parametrize("size", [(11_584, 8_640), (16_320, 12_240)])
def test_so_does_a_heic_that_is_put_together_of_tiles(size):
    """Up to 200 megapixels. One in a single piece is shown up to 50, and says so beyond."""
    stones = np.random.default_rng(2).integers(100, 130, (512, 512, 3), dtype=np.uint8)
    data = repeated(size, Image.fromarray(stones))
    assert peak_mb(data, f"HEIC, {size[0] * size[1] / 1e6:.0f} megapixels") < MOST_MB


def test_so_does_the_largest_heic_that_is_shown_in_a_single_piece():
    data = BytesIO()
    plain = Image.new("RGB", (8_660, 5_770), (120, 117, 110))
    pillow_heif.from_pillow(plain).save(data, quality=HEIC_QUALITY)
    assert peak_mb(data.getvalue(), "HEIC, 50 megapixels in one piece") < MOST_MB


def peak_mb(data: bytes, what: str) -> float:
    """The most memory that a worker takes for a photo, and print it."""
    done = subprocess.run(
        [sys.executable, "-c", MEMORY_OF_INTAKE.replace("range(5)", "range(1)")],
        input=data,
        capture_output=True,
        check=True,
        cwd=ROOT,
        env=os.environ | SET_FOR_WORKERS,
    )
    peak = int(done.stdout) / 1024
    print(f"{what}, {len(data) / 1e6:.1f} MB: peak {peak:.0f} MB")
    return peak
