"""The defects looked for again, as the inspection sheet prints them: number, place, last look."""

from collections.abc import Sequence
from datetime import date

from shapely import LineString, Polygon
from shapely import Point as ShapelyPoint

from registry.defects import KINDS
from registry.drawing.primitives import Symbol
from registry.gathering.known_defects import Known, Seen, extent_words, known_on
from registry.models import Defect, Observation, Pavement
from registry.plan import Layout, PlaceError, PlanShape, read_place, rounded, to_place, to_plan
from registry.plan.writing import write_place
from registry.sheets.contents import KnownDefect
from registry.units import System

SHORT = {
    "edge_raveling": "raveling at joint, edge",
    "abrasion": "abrasion, turning path",
    "spall": "spall at joint, edge",
    "ponding": "ponding",
    "joint_stone_low": "joint stone low",
    "growth": "moss, weeds, roots",
    "prints": "prints, carving",
}
"""Kinds in words that a cell of 20 mm holds in two lines; the others up to their first comma."""


def all_of(pavement: Pavement) -> Seen:
    """Return every defect of a pavement that stands, with all its looks."""
    looks = Observation.objects.filter(defect__pavement=pavement)
    return Seen(Defect.objects.filter(pavement=pavement).standing(), looks.standing())


def known_defects(
    pavement: Pavement, layout: Layout | None, seen: Seen, system: System, on: date
) -> tuple[KnownDefect, ...]:
    """Return what is looked for again on a day, by number. Always as many queries."""
    return tuple(
        _printed(known, layout, System(pavement.sheet_system), system, on)
        for known in known_on(seen, on)
    )


def _printed(
    known: Known, layout: Layout | None, own: System, system: System, on: date
) -> KnownDefect:
    defect, look = known.defect, known.measured
    kind = KINDS[defect.kind]
    shape = shape_of(defect, layout, own, on)
    return KnownDefect(
        number=defect.number,
        place=_place(defect, shape, layout, own, system, on),
        kind=SHORT.get(kind.code, kind.label.partition(",")[0]),
        last_extent=extent_words(defect.kind, look, system, heights=1) if look else "",
        severity=look.severity if look else "",
        last_seen_on=look.seen_on if look else defect.first_seen_on,
        shape=shape,
        sign=Symbol(kind.mark),
        row_id=defect.pk,
    )


def shape_of(defect: Defect, layout: Layout | None, own: System, on: date) -> PlanShape | None:
    """Return where a defect lies on the plan: as drawn, or read from its place as written."""
    if defect.outline:
        return _drawn(defect.outline_kind, [(x, y) for x, y in defect.outline])
    if layout is None or not defect.place:
        return None
    try:
        return to_plan(read_place(defect.place, own), layout, on)
    except PlaceError:  # a place in words, or a panel that is no more: it has no mark
        return None


def _drawn(kind: str, points: Sequence[tuple[float, float]]) -> PlanShape:
    if kind == "area" and len(points) > 2:
        return PlanShape(Polygon(points))
    if kind == "line" and len(points) > 1:
        return PlanShape(LineString(points))
    return PlanShape(ShapelyPoint(points[0]))


def _place(
    defect: Defect,
    shape: PlanShape | None,
    layout: Layout | None,
    own: System,
    system: System,
    on: date,
) -> str:
    """The place as written, in the units of the sheet; under a later plan's names too."""
    written = defect.place or defect.panels_text
    ended = defect.panel is not None and defect.panel.ended_as == "redrawn"
    if shape is not None and layout is not None and (ended or not written):
        try:
            place = write_place(rounded(to_place(*shape.centre, layout, on), system), system)
        except PlaceError:
            return written
        return f"{place}, was {written}" if written else place
    if not written or system == own:
        return written
    try:
        return write_place(rounded(read_place(written, own), system), system)
    except PlaceError:
        return written
