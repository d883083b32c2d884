"""The plan's picture on which a place is tapped, for forms that ask for one."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.safestring import SafeString, mark_safe

from registry.drawing.plan_picture import ground_picture
from registry.drawing.primitives import DrawingError
from registry.drawing.svg import to_svg
from registry.gathering.layouts import find_layout
from registry.gathering.placer_ground import placer_ground
from registry.models import Pavement

PICTURE_MM = (90.0, 130.0)
"""Near the shape of a phone, so that a panel is large enough for a thumb."""


@dataclass(frozen=True)
class Placer:
    """The picture, and what the script reads of it; or in `trouble` why there is none to tap on."""

    drawing: SafeString | str
    ground: dict[str, Any]
    trouble: str = ""


def placer_of(pavement: Pavement, *, on: date) -> Placer | None:
    """Return the plan of a day to tap on; None where nothing is drawn: places are typed."""
    found = find_layout(pavement)
    layout = found.layout
    if layout is None:
        return Placer("", {}, found.trouble) if found.trouble else None
    try:
        drawing, frame = ground_picture(layout, on=on, size_mm=PICTURE_MM, system=layout.system)
    except DrawingError as fault:
        return Placer("", {}, fault.message)
    # to_svg escapes every word that people wrote; only its own markup is left.
    svg = mark_safe(to_svg(drawing, id_prefix="placer"))
    return Placer(svg, placer_ground(layout, frame, on))
