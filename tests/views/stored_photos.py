"""Photos on record with their bytes in the media folder and their sizes made, for tests."""

import numpy as np

from registry.actions.add_photo import add_photo
from registry.actions.make_photo_sizes import make_photo_copy, make_photo_sizes
from registry.models import Photo
from tests.imaging import photos


def stored_photo(pavement, organisation=None, data=None, *, by=None, name="IMG_1.jpg", **fields):
    """Return a photo of a pavement as a worker leaves it; one of its own where `data` is none."""
    if data is None:
        rng = np.random.default_rng(Photo.objects.count())
        spots = rng.integers(60, 180, (6, 8, 3), dtype=np.uint8)
        data = photos.jpeg(photos.Image.fromarray(spots).resize((64, 48), 0))
    added = add_photo(
        Photo(pavement=pavement, **fields), data, name=name, by=by, organisation=organisation
    )
    make_photo_sizes(added.photo.file_id)
    make_photo_copy(added.photo.pk)
    return Photo.objects.select_related("file", "pavement__site").get(pk=added.photo.pk)
