"""Defects as a plan shows them on a day: known then, in the state and of the extent of then."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from functools import reduce
from operator import or_
from typing import cast

import shapely
from django.db.models import F, OuterRef, Q, Subquery
from django.db.models.functions import Coalesce

from registry.defects import KINDS, STATES
from registry.drawing.plan_marks import DefectMark
from registry.drawing.primitives import Symbol
from registry.gathering.defect_looks import days_told
from registry.gathering.known_defects import EXTENTS, HEIGHTS, extent_words
from registry.models import Defect, DefectMove, Observation
from registry.models.defect import DefectQuerySet
from registry.models.observation import ObservationQuerySet
from registry.plan.faults import PlaceError
from registry.plan.layout import Layout
from registry.plan.locate import to_plan
from registry.plan.reading import read_place
from registry.plan.shapes import PlanShape
from registry.units import System

SIZES = (*(column for column, _ in EXTENTS.values()), *HEIGHTS)
OF_DEFECT = ("number", "kind", "state", "place", "panels_text", "outline", "outline_kind")
OF_PANEL = tuple(f"panel__{name}" for name in ("name", "right_m", "up_m", "width_m", "length_m"))
"""Columns that a plan needs: a pavement may have a thousand defects."""


@dataclass(frozen=True)
class PlanDefect:
    """A defect on a day.

    seen_on  the last look that found it, up to then; None before any did
    look     the last of those that measured it, of which only day and sizes are fetched
    told     of which days extent and severity are, "" where they are of `seen_on`
    is_somewhere: only its panel is known, and it is drawn in the middle of that.
    """

    defect: Defect
    state: str
    severity: str
    seen_on: date | None
    look: Observation | None
    told: str
    extent: str
    shape: PlanShape | None = None
    is_somewhere: bool = False

    @property
    def kind(self) -> str:
        """Return the kind in words."""
        return KINDS[self.defect.kind].label

    @property
    def place(self) -> str:
        """Return the place as written, "" where none is."""
        panel = self.defect.panel.name if self.defect.panel else ""
        return self.defect.place or self.defect.panels_text or panel


def known_then(defects: DefectQuerySet, looks: ObservationQuerySet, day: date) -> DefectQuerySet:
    """Return the defects seen by the end of a day with `state_then` and what looks had told then.

    `seen_then` is the day of the last look that found it, `look_then` the last of them that
    measured it, `severity_then` and `graded_then` the last severity and its day, null if none.
    defects, looks: those the reader may see. The state follows from the moves dated up to then.
    """
    mine = DefectMove.objects.filter(defect=OuterRef("pk")).order_by("-at", "-pk")
    first = DefectMove.objects.filter(defect=OuterRef("pk")).order_by("at", "pk")
    found = looks.standing().filter(
        defect=OuterRef("pk"), seen_on__lte=day, found=Observation.Found.FOUND
    )
    last = found.order_by("-seen_on", "-pk")
    sized = last.filter(reduce(or_, (Q(**{f"{name}__isnull": False}) for name in SIZES)))
    graded = last.exclude(severity="")
    rows = defects.known_on(day).annotate(
        state_then=Coalesce(
            Subquery(mine.filter(on__lte=day).values("to_state")[:1]),
            Subquery(first.exclude(from_state="").values("from_state")[:1]),
            F("state"),
        ),
        seen_then=Subquery(last.values("seen_on")[:1]),
        look_then=Subquery(sized.values("pk")[:1]),
        severity_then=Subquery(graded.values("severity")[:1]),
        graded_then=Subquery(graded.values("seen_on")[:1]),
    )
    return rows.order_by("number")


def defects_on_plan(
    rows: DefectQuerySet, layout: Layout | None, *, own: System, system: System, day: date
) -> list[PlanDefect]:
    """Return what a plan and its list show of rows of `known_then`; always two queries.

    own: the system in which the pavement's places are written. system: of the words.
    """
    looks = Observation.objects.filter(pk__in=rows.order_by().values("look_then"))
    # Plain rows: to make a thousand Observations took a sixth of the whole page.
    told_looks = looks.values_list("defect_id", "seen_on", *SIZES, named=True)
    last = {look.defect_id: cast(Observation, look) for look in told_looks}
    told = rows.select_related("panel").only(*OF_DEFECT, *OF_PANEL)
    return [_shown(row, last.get(row.pk), layout, own, system, day) for row in told]


def _shown(
    row: Defect,
    look: Observation | None,
    layout: Layout | None,
    own: System,
    system: System,
    day: date,
) -> PlanDefect:
    shape, is_somewhere = _shape(row, layout, own, day)
    seen_on: date | None = row.seen_then  # type: ignore[attr-defined]
    graded_on: date | None = row.graded_then  # type: ignore[attr-defined]
    measured_on = look.seen_on if look is not None else None
    return PlanDefect(
        defect=row,
        state=STATES[row.state_then],  # type: ignore[attr-defined]
        severity=row.severity_then or "",  # type: ignore[attr-defined]
        seen_on=seen_on,
        look=look,
        told=days_told(seen_on, measured_on, graded_on) if seen_on is not None else "",
        extent=extent_words(row.kind, look, system) if look is not None else "",
        shape=shape,
        is_somewhere=is_somewhere,
    )


def _shape(
    row: Defect, layout: Layout | None, own: System, day: date
) -> tuple[PlanShape | None, bool]:
    """Where it lies: as drawn, as written, or the middle of its panel."""
    if row.outline:
        return shape_of(row.outline_kind, row.outline), False
    if layout is not None and row.place:
        try:
            shape = to_plan(read_place(row.place, own), layout, day)
        except PlaceError:  # a place in words, or a panel that is no more
            pass
        else:
            return shape, False
    if row.panel is None:
        return None, False
    middle = (
        row.panel.right_m + row.panel.width_m / 2,
        row.panel.up_m + row.panel.length_m / 2,
    )
    return PlanShape(shapely.Point(middle)), True


def shape_of(kind: str, outline: list[list[float]]) -> PlanShape:
    """Return a stored outline, [[right_m, up_m], ...], as a shape of the plan."""
    points = [(float(right), float(up)) for right, up in outline]
    if kind == "area" and len(points) > 2:
        area = shapely.Polygon(points)
        mended = area if area.is_valid else area.buffer(0)
        if not mended.is_empty:
            return PlanShape(mended)
    if kind != "spot" and len(points) > 1:
        return PlanShape(shapely.LineString(points))
    return PlanShape(shapely.Point(points[0]))


def defect_marks(
    rows: Iterable[PlanDefect], href: Callable[[Defect], str]
) -> tuple[DefectMark, ...]:
    """Return a mark for each defect that has a place on the plan."""
    return tuple(
        DefectMark(
            row.defect.number,
            row.shape,
            Symbol(KINDS[row.defect.kind].mark),
            href(row.defect),
            title_of(row),
        )
        for row in rows
        if row.shape is not None
    )


def title_of(row: PlanDefect) -> str:
    """Return a defect in one line: "defect 3: crack, confirmed, moderate, 7 ft, C8"."""
    where = f"somewhere in {row.place}" if row.is_somewhere else row.place
    parts = (row.kind, row.state, row.severity, row.extent, row.told, where)
    return f"defect {row.defect.number}: {', '.join(filter(None, parts))}"
