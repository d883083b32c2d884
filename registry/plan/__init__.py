"""The location scheme: how a spot of a pavement is named, found again and put on earth.

Pure: no database, no clock. Start with `Layout` (layout.py), `read_place` (reading.py),
`write_place` (writing.py), `to_plan` and `to_place` (locate.py).
"""

from registry.plan.areas import FoundArea, by_corners, by_panels, by_tape
from registry.plan.datum import Datum, ResurveyCheck, Tie, check_of_resurvey
from registry.plan.earth import from_lonlat, to_geojson, to_lonlat
from registry.plan.faults import EarthError, PlaceError, PlanError
from registry.plan.features import Feature, FeatureKind
from registry.plan.layout import Layout
from registry.plan.locate import to_place, to_plan
from registry.plan.panels import CutAcross, Panel, PanelKind, PanelName, grid, read_panel_name
from registry.plan.places import (
    Extent,
    JointPlace,
    PanelLine,
    PanelPlace,
    PanelRunPlace,
    Place,
    Span,
    SquarePlace,
    StationPlace,
)
from registry.plan.points import Point
from registry.plan.reading import read_place
from registry.plan.shapes import PlanShape, ShapeKind
from registry.plan.squares import Squares, squares_over
from registry.plan.stationing import as_panels, as_station
from registry.plan.stations import Baseline, OffsetFrom
from registry.plan.writing import rounded, write_place

__all__ = [
    "Baseline",
    "CutAcross",
    "Datum",
    "EarthError",
    "Extent",
    "Feature",
    "FeatureKind",
    "FoundArea",
    "JointPlace",
    "Layout",
    "OffsetFrom",
    "Panel",
    "PanelKind",
    "PanelLine",
    "PanelName",
    "PanelPlace",
    "PanelRunPlace",
    "Place",
    "PlaceError",
    "PlanError",
    "PlanShape",
    "Point",
    "ResurveyCheck",
    "ShapeKind",
    "Span",
    "SquarePlace",
    "Squares",
    "StationPlace",
    "Tie",
    "as_panels",
    "as_station",
    "by_corners",
    "by_panels",
    "by_tape",
    "check_of_resurvey",
    "from_lonlat",
    "grid",
    "read_panel_name",
    "read_place",
    "rounded",
    "squares_over",
    "to_geojson",
    "to_lonlat",
    "to_place",
    "to_plan",
    "write_place",
]
