"""What the browser needs to turn a tap on the plan's picture into a place: frame, panels, squares.

All plain data for a JSON block; lengths in metres, places on the picture in mm.
"""

from datetime import date
from typing import Any

from registry.drawing.frames import Frame, ScaleFrame, StripFrame
from registry.plan.layout import Layout
from registry.plan.panels import Panel


def placer_ground(layout: Layout, frame: Frame, on: date) -> dict[str, Any]:
    """Return the plan of a day as the script of the placer reads it."""
    squares = layout.squares
    return {
        "system": layout.system.value,
        "frame": _frame(frame),
        "panels": [_panel(panel) for panel in layout.panels_on(on)],
        "squares": squares and [squares.rights, squares.ups, squares.side_m],
        "outline": [list(point) for point in layout.outline],
        "top_m": None if layout.baseline is not None else layout.any_baseline.length_m,
    }


def _frame(frame: Frame) -> dict[str, Any]:
    if isinstance(frame, StripFrame):
        return {
            "kind": "strip",
            "corner": list(frame.corner),
            "rows": frame.rows,
            "row_m": frame.row_m,
            "mm_per_m": frame.mm_per_m,
            "band_mm": frame.band_mm,
            "row_step_mm": frame.row_step_mm,
            "width_m": frame.width_m,
            "is_width_known": frame.baseline.width_m is not None,
            "center_m": frame.baseline.center_right_m,
            "length_m": frame.baseline.length_m,
        }
    assert isinstance(frame, ScaleFrame)
    return {
        "kind": "scale",
        "corner": list(frame.corner),
        "mm_per_m": frame.mm_per_m,
        "turned": frame.turned,
        "extent": list(frame.extent),
    }


def _panel(panel: Panel) -> dict[str, Any]:
    return {
        "name": panel.name,
        "home": [panel.right_m, panel.up_m],
        "size": [panel.width_m, panel.length_m],
        "turned_deg": panel.turned_deg,
        "ring": [list(corner) for corner in list(panel.polygon.exterior.coords)[:-1]],
    }
