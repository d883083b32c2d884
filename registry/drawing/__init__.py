"""Pictures for page and paper from one list of primitives.

Pure: no database, no clock, no settings. Make a drawing with `plan_picture`, `plan_pictures`,
`rate_chart` or `key_drawing`; show it with `to_svg`, print it with `draw_on_canvas`.
"""

from registry.drawing.chart_data import (
    ActionLevel,
    CleaningMark,
    DeclineBand,
    Future,
    RateKind,
    RatePoint,
    RateSeries,
    SpotLine,
)
from registry.drawing.hatches import Hatch, hatched
from registry.drawing.key import key_drawing, key_items
from registry.drawing.pdf import draw_on_canvas, register_fonts
from registry.drawing.plan_marks import DefectMark, SpotMark, StateArea
from registry.drawing.plan_pages import plan_pictures
from registry.drawing.plan_picture import plan_picture
from registry.drawing.primitives import (
    Anchor,
    Area,
    Circle,
    Drawing,
    DrawingError,
    Group,
    Item,
    Line,
    Mark,
    Polyline,
    Role,
    Strokes,
    Symbol,
    Text,
    Weight,
)
from registry.drawing.rate_chart import rate_chart
from registry.drawing.svg import to_svg

__all__ = [
    "ActionLevel",
    "Anchor",
    "Area",
    "Circle",
    "CleaningMark",
    "DeclineBand",
    "DefectMark",
    "Drawing",
    "DrawingError",
    "Future",
    "Group",
    "Hatch",
    "Item",
    "Line",
    "Mark",
    "Polyline",
    "RateKind",
    "RatePoint",
    "RateSeries",
    "Role",
    "SpotLine",
    "SpotMark",
    "StateArea",
    "Strokes",
    "Symbol",
    "Text",
    "Weight",
    "draw_on_canvas",
    "hatched",
    "key_drawing",
    "key_items",
    "plan_picture",
    "plan_pictures",
    "rate_chart",
    "register_fonts",
    "to_svg",
]
