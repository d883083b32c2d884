"""A saw cut goes through defects: each goes on as two, one a side, and the old row is closed.

The pieces of its outline lie each on its part of the panel. Moves and last looks are repeated at
both; extents of the whole are not, so that nothing is counted twice until each is measured.
"""

from collections.abc import Iterable
from datetime import date
from itertools import count

from django.db.models import Max

from registry.actions.carry_on_defects import BOTH, OF_CUT, Ground, carry_on_defects
from registry.faults import DomainError
from registry.gathering.plan_defects import shape_of
from registry.gathering.shared_defects import OpenDefect, polygon_of
from registry.models import Defect, Organisation, Panel, Person
from registry.plan import PanelLine, PanelPlace, PlanShape, ShapeKind, write_place
from registry.plan.panels import read_panel_name
from registry.plan.places import Place, Span
from registry.plan.shared_out import panels_under, piece_within
from registry.units import System


class CannotSplitDefect(DomainError):
    """The saw line does not part it in two pieces on these two parts."""


def split_defects(
    defects: Iterable[Defect],
    parts: tuple[Panel, Panel],
    *,
    on: date,
    by: Person | None,
    organisation: Organisation | None,
) -> None:
    """Carry on each defect as two. Raises CannotSplitDefect. Called in the cut's transaction."""
    rows = list(defects)
    if not rows:
        return
    pavement = parts[0].pavement
    there = {p.pk: polygon_of(p) for p in pavement.panels.standing().existing_on(on)}
    for row in rows:
        _refuse_whole(row, parts, panels_under(_shape(row).geometry, there))
    last = Defect.objects.filter(pavement=pavement).aggregate(last=Max("number"))["last"] or 0
    sections = {p.section_id: p.section for p in parts if p.section is not None}
    first, second = (
        Ground(pavement, {part.pk: part}, {pk: row for pk, row in sections.items() if pk}, 0.0)
        for part in parts
    )
    lies_on = frozenset(part.pk for part in parts)
    numbers = count(last + 1)
    carry_on_defects(
        [(OpenDefect(row, lies_on), BOTH) for row in rows], (first, second), on=on, by=by,
        organisation=organisation, numbers=(numbers, numbers), said=OF_CUT,
    )  # fmt: skip
    for new in Defect.objects.filter(carried_from__in=rows).select_related("panel"):
        _write_place(new, System(pavement.sheet_system))


def _shape(row: Defect) -> PlanShape:
    if not row.outline:
        raise CannotSplitDefect(
            f"{row} has no outline on the plan, so nobody can tell what lies on each side. Write "
            "its place with R and U first, or note the pieces by themselves."
        )
    return shape_of(row.outline_kind, row.outline)


def _refuse_whole(row: Defect, parts: tuple[Panel, Panel], lies_on: Iterable[int]) -> None:
    names = f"{parts[0]} and {parts[1]}"
    if not row.is_open:
        raise CannotSplitDefect(f"{row} is {row.get_state_display()}: it stays as it is.")
    if set(lies_on) != {part.pk for part in parts}:
        raise CannotSplitDefect(
            f"{row} does not lie on {names} alone: the saw line does not part it in two there."
        )
    if any(
        piece_within(_shape(row).geometry, [polygon_of(part)], joint_m=0.0) is None
        for part in parts
    ):
        raise CannotSplitDefect(
            f"{row} falls into several pieces on {names}: note them by themselves."
        )


def _write_place(new: Defect, system: System) -> None:
    """Write the place of a piece by its own panel; its outline stays as it was cut."""
    panel, shape = new.panel, shape_of(new.outline_kind, new.outline)
    assert panel is not None
    points = [(max(x - panel.right_m, 0.0), max(y - panel.up_m, 0.0)) for x, y in shape.points]
    name = read_panel_name(panel.name)
    rights, ups = [right for right, _ in points], [up for _, up in points]
    place: Place = PanelPlace(name, Span(min(rights), max(rights)), Span(min(ups), max(ups)))
    if shape.kind is ShapeKind.LINE:
        place = PanelLine(name, tuple(points))
    new.place, new.panels_text = write_place(place, system), panel.name
    new.save(update_fields=["place", "panels_text"])
