"""Photos: from bytes to bytes and facts.

Pure: no database, no clock, no files. Start with `accept` (accept.py), `read_stamps`
(stamps.py) and `make_sizes` (sizes.py); for extents `flatten` (flatten.py), then `area_of` and
`length_of` (outlines.py).
"""

from registry.imaging.accept import Accepted, accept
from registry.imaging.clock import TrueTime, stored_instant, stored_time, true_time
from registry.imaging.cover import (
    Cover,
    copy_to_hand_out,
    covered,
    read_covers,
    write_covers,
)
from registry.imaging.faults import (
    CameraTimeError,
    CornersRefused,
    MarksRefused,
    OutlineRefused,
    PhotoRefused,
)
from registry.imaging.flatten import Flat, SeenRectangle, flatten
from registry.imaging.kinds import Kind
from registry.imaging.mark_shapes import Shape, shapes_of
from registry.imaging.marks import Mark, MarkKind, read_marks, write_marks
from registry.imaging.outlines import LEFT_OUT, Extent, Marking, area_of, length_of, on_plan
from registry.imaging.photo_place import KnownBy, Lot, PhotoPlace, SaidPlace, far_from, place_by
from registry.imaging.sizes import Sizes, View, make_sizes, readable_copy
from registry.imaging.stamps import Facing, Position, Stamps, read_stamps

__all__ = [
    "LEFT_OUT",
    "Accepted",
    "CameraTimeError",
    "CornersRefused",
    "Cover",
    "Extent",
    "Facing",
    "Flat",
    "Kind",
    "KnownBy",
    "Lot",
    "Mark",
    "MarkKind",
    "Marking",
    "MarksRefused",
    "OutlineRefused",
    "PhotoPlace",
    "PhotoRefused",
    "Position",
    "SaidPlace",
    "SeenRectangle",
    "Shape",
    "Sizes",
    "Stamps",
    "TrueTime",
    "View",
    "accept",
    "area_of",
    "copy_to_hand_out",
    "covered",
    "far_from",
    "flatten",
    "length_of",
    "make_sizes",
    "on_plan",
    "place_by",
    "read_covers",
    "read_marks",
    "read_stamps",
    "readable_copy",
    "shapes_of",
    "stored_instant",
    "stored_time",
    "true_time",
    "write_covers",
    "write_marks",
]
