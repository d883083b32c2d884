"""A HEIC of tiles, decoded a row of them at a time, is what the library decodes of it whole."""

import struct

import numpy as np
import pillow_heif
import pytest
from PIL import Image

from registry.imaging import PhotoRefused, accept, decode, make_sizes
from registry.imaging.develop import develop
from registry.imaging.heic_grid import read_grid
from tests.imaging import photos
from tests.imaging.heic_grids import heic_grid, repeated
from tests.imaging.test_decode import ground

TURNS = [
    (),
    (("irot", 1),),
    (("irot", 2),),
    (("irot", 3),),
    (("imir", 0),),
    (("imir", 1),),
    (("irot", 1), ("imir", 0)),
    (("imir", 1), ("irot", 3)),
]


def theirs(data: bytes) -> np.ndarray:
    """Decoded whole by libheif, the reference implementation of the format."""
    return np.asarray(pillow_heif.open_heif(data).to_pillow())


@pytest.fixture
def in_tiles(monkeypatch):
    """As photos of more than 50 megapixels are decoded."""
    monkeypatch.setattr(decode, "HEIC_WHOLE_PX", 0)


@pytest.mark.parametrize("turns", TURNS)
def test_every_pixel_is_as_the_library_decodes_it_whole(in_tiles, turns):
    data = heic_grid(ground(700, 500), turns=turns)
    assert accept(data).kind == "heic"
    assert np.array_equal(np.asarray(develop(data, None)), theirs(data))


@pytest.mark.parametrize("turns", [(), (("irot", 1),)])
@pytest.mark.parametrize("size", [(700, 500), (512, 512), (300, 1030)])
def test_made_smaller_on_the_way_it_looks_the_same(in_tiles, size, turns):
    data = heic_grid(ground(*size), turns=turns)
    found = develop(data, 160)
    whole = Image.fromarray(theirs(data)).resize(found.size, Image.Resampling.LANCZOS)
    apart = np.abs(np.asarray(found, dtype=int) - np.asarray(whole, dtype=int))
    assert apart.mean() < 1.5


def test_a_photo_of_a_hundred_megapixels_in_tiles_is_shown():
    tile = Image.new("RGB", (512, 512), photos.GREEN)
    tile.paste(photos.RED, (0, 0, 256, 256))
    data = repeated((11_584, 8_640), tile)
    sizes = make_sizes(data)
    assert (accept(data).width_px, sizes.on_page.width_px) == (11_584, 1600)
    with Image.open(photos.BytesIO(sizes.on_page.data)) as page:
        assert photos.corner_colours(page.crop((0, 0, 70, 70))) == [
            "red",
            "green",
            "green",
            "green",
        ]


def test_one_in_a_single_piece_says_why_it_cannot_be_shown(in_tiles):
    with pytest.raises(PhotoRefused, match="megapixels in one piece") as refused:
        make_sizes(photos.heic())
    assert len(refused.value.message) <= 240, "as much as the photo's row keeps of it"


def unlike(data: bytes, before: bytes, after: bytes) -> bytes:
    assert data.count(before) == 1
    return data.replace(before, after)


LAYOUT = struct.pack(">BBBBHH", 0, 0, 1, 2, 700, 500)


@pytest.mark.parametrize(
    "told",
    [
        struct.pack(">BBBBHH", 0, 0, 1, 1, 700, 500),  # fewer tiles than are there
        struct.pack(">BBBBHH", 0, 0, 2, 1, 700, 500),  # as many, another way
        struct.pack(">BBBBHH", 0, 0, 1, 2, 1700, 500),  # wider than its tiles
        struct.pack(">BBBBHH", 0, 0, 1, 2, 0, 0),
        struct.pack(">BBBBHH", 0, 0, 1, 2, 701, 500),  # not the size that the file states
    ],
)
def test_a_layout_that_its_tiles_do_not_fill_is_refused(in_tiles, told):
    data = unlike(heic_grid(ground(700, 500)), LAYOUT, told)
    with pytest.raises(PhotoRefused):
        make_sizes(data)


def test_a_tile_that_is_another_size_than_it_states_is_refused(in_tiles):
    data = heic_grid(ground(700, 500))
    stated = struct.pack(">II", 256, 256)
    assert read_grid(data) is not None
    with pytest.raises(PhotoRefused):
        make_sizes(unlike(data, stated, struct.pack(">II", 280, 256)))


def test_tiles_too_small_for_a_telephone_are_refused(in_tiles):
    with pytest.raises(PhotoRefused, match="in one piece"):
        make_sizes(heic_grid(ground(200, 150), tile=64))


def test_random_damage_never_does_worse_than_a_refusal(in_tiles):
    rng = np.random.default_rng(21)
    whole = heic_grid(ground(520, 260), turns=(("irot", 1),))
    tables = whole.index(b"mdat")
    refused = 0
    for _ in range(400):
        data = bytearray(whole)
        for at in rng.integers(8, tables, rng.integers(1, 4)):
            data[at] = rng.integers(0, 256)
        try:
            accept(bytes(data))
            make_sizes(bytes(data))
        except PhotoRefused:
            refused += 1
    assert 200 < refused < 400
