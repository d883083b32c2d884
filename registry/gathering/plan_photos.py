"""Photos as a plan shows them: at their place as written, or together in their panel."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

import shapely

from registry.drawing.plan_marks import PhotoMark
from registry.models import Panel, Photo
from registry.models.photo import PhotoQuerySet
from registry.plan.faults import PlaceError
from registry.plan.layout import Layout
from registry.plan.locate import to_plan
from registry.plan.reading import read_place
from registry.plan.shapes import PlanShape
from registry.units import System

TURNS = {"up": 0.0, "right": 90.0, "down": 180.0, "left": 270.0}
"""Degrees clockwise from up on the plan; one of the ground looks no way."""


@dataclass(frozen=True)
class PlacedPhotos:
    """Photos of one sign: one with a place of its own, or all of a panel that have none.

    Those of a panel come the newest first, undated ones last.
    """

    photos: tuple[Photo, ...]
    shape: PlanShape
    panel: Panel | None = None

    @property
    def title(self) -> str:
        """Return it in one line: "photo P-12, defect 3, 2024-04-18, D6"."""
        first = self.photos[0]
        if len(self.photos) > 1:
            return f"{len(self.photos)} photos in {self.panel}, the newest {first.caption}"
        where = "" if self.panel else f", at {first.place}"
        return f"photo {first.caption}{where}"


def photos_on_plan(
    rows: PhotoQuerySet, layout: Layout | None, *, own: System, day: date, is_today: bool
) -> list[PlacedPhotos]:
    """Return the photos taken by the end of a day that have a place or a panel; one query.

    A photo of a defect without a place of its own is left to the mark of the defect, which
    leads to it. Undated ones are shown on the plan of today alone.
    own: the system in which the pavement's places are written.
    """
    found: list[PlacedPhotos] = []
    of_panel: dict[Panel, list[Photo]] = {}
    for row in rows.for_list().newest_first():
        if (row.taken_on is None and not is_today) or (row.taken_on and row.taken_on > day):
            continue
        shape = _shape(row, layout, own, day)
        if shape is not None:
            found.append(PlacedPhotos((row,), shape))
        elif row.panel is not None:
            of_panel.setdefault(row.panel, []).append(row)
    for panel, photos in of_panel.items():
        found.append(PlacedPhotos(tuple(photos), _middle(panel), panel))
    return found


def _shape(row: Photo, layout: Layout | None, own: System, day: date) -> PlanShape | None:
    if layout is None or not row.place:
        return None
    try:
        return to_plan(read_place(row.place, own), layout, day)
    except PlaceError:  # a place in words, or a panel that is no more
        return None


def _middle(panel: Panel) -> PlanShape:
    point = (panel.right_m + panel.width_m / 2, panel.up_m + panel.length_m / 2)
    return PlanShape(shapely.Point(point))


def photo_marks(
    placed: list[PlacedPhotos], href: Callable[[PlacedPhotos], str]
) -> tuple[PhotoMark, ...]:
    """Return a mark for each, a link to the photo or to those of its panel."""
    return tuple(
        PhotoMark(
            one.shape,
            TURNS.get(one.photos[0].facing) if len(one.photos) == 1 else None,
            href(one),
            one.title,
            len(one.photos),
        )
        for one in placed
    )
