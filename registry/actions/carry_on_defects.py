"""Carry open defects on at the parts of a pavement that is split.

The old row is closed by a dated line and stays as it is, with its visits, photos and looks, to be
read by whoever could read it. The new row points to it. It repeats the moves, so that a way back
stays open, and the looks that lists, sheets and the next visit begin from.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import count
from typing import Any

from registry.actions.take_back_defects import reason_alone
from registry.actions.write_journal import write_line
from registry.gathering.plan_defects import shape_of
from registry.gathering.shared_defects import OpenDefect, polygon_of
from registry.models import (
    Defect,
    DefectMove,
    Observation,
    Organisation,
    Panel,
    Pavement,
    Person,
    Section,
)
from registry.plan.shapes import PlanShape
from registry.plan.shared_out import JOINT_M, piece_within

BOTH = 2
"""What a person says of a defect that goes on at either part, its extent to be measured anew."""

OF_ENTRY = (
    "as_written", "empties", "note", "source", "source_note", "sheet_number", "written_at",
    "entered_at", "entered_by_id", "entered_for_id", "submitted_on",
)  # fmt: skip
OF_DEFECT = (
    *OF_ENTRY, "other_number", "kind", "state", "panels_text", "place", "placed_by",
    "is_provisional", "concrete_placed_on", "first_seen_on", "known_before", "on_accessible_route",
    "causes",
)  # fmt: skip
EXTENTS = ("area_m2", "area_error_m2", "length_m", "length_error_m", "count", "panel_share")
"""Measures of the whole thing: where it goes on in two parts, neither has them."""


@dataclass(frozen=True)
class Said:
    """How lines lead on to the new row, and back to the old one."""

    on: str
    back: str


OF_SPLIT = Said("{0} of a part", "from {0} of the pavement that this one was split from")
OF_CUT = Said("{0} on {1}", "from {0}, which a saw line parted")


@dataclass(frozen=True)
class Ground:
    """A part, and its panels and sections by the ids of those of the whole.

    joint_m  how far beyond its panels a piece of an outline may reach
    """

    pavement: Pavement
    panels: Mapping[int, Panel]
    sections: Mapping[int, Section]
    joint_m: float = JOINT_M


def carry_on_defects(
    defects: Sequence[tuple[OpenDefect, int]],
    grounds: tuple[Ground, Ground],
    *,
    on: date,
    by: Person | None,
    organisation: Organisation | None,
    numbers: tuple[Iterator[int], Iterator[int]] | None = None,
    said: Said | None = None,
) -> None:
    """Store a new row for each defect at the part said (0, 1 or BOTH) and close the old one.

    Called by the split, in its transaction. numbers: the next ones of each part, from 1 where not
    given. Times, sides and what was sent to the municipality go
    on unchanged, so that nobody sees more or less of it than before.
    """
    numbers, words = numbers or (count(1), count(1)), said or OF_SPLIT
    for known, where in defects:
        parts = (0, 1) if where == BOTH else (where,)
        told = []
        for part in parts:
            new = _carried(known, grounds[part], next(numbers[part]), on, len(parts) > 1)
            why = words.back.format(known.row)
            write_line(new, "carried on", by=by, organisation=organisation, why=why)
            told.append(words.on.format(new, new.panel))
        _close(known.row, f"carried on as {' and as '.join(told)}", on, by, organisation)


def _carried(known: OpenDefect, ground: Ground, number: int, on: date, is_shared: bool) -> Defect:
    old = known.row
    fields = {name: getattr(old, name) for name in OF_DEFECT}
    new = Defect(
        pavement=ground.pavement,
        number=number,
        panel=_panel(known, ground),
        section=ground.sections.get(old.section_id or 0),
        carried_from=old,
        carried_on=max(on, old.first_seen_on),
        **_outline(old, ground, is_shared),
        **fields,
    )
    new.full_clean(exclude={"entered_by", "entered_for", "carried_from"})
    new.save(force_insert=True)
    _repeat_moves(old, new)
    for look in _looks_to_repeat(old.observations.standing().in_order()):
        _repeat_look(look, new, is_shared)
    return new


def _panel(known: OpenDefect, ground: Ground) -> Panel | None:
    """Return the panel at the part: its own, or the first there that it lies on."""
    if known.row.panel_id is None:
        return None
    first = [known.row.panel_id, *sorted(known.lies_on)]
    return next((ground.panels[pk] for pk in first if pk in ground.panels), None)


def _outline(old: Defect, ground: Ground, is_shared: bool) -> dict[str, Any]:
    """Return the outline at the part: of what lies on both, the piece there if it is one."""
    if not (old.outline and is_shared):
        return {"outline": old.outline, "outline_kind": old.outline_kind}
    panels = [polygon_of(panel) for panel in ground.panels.values()]
    piece = piece_within(
        shape_of(old.outline_kind, old.outline).geometry, panels, joint_m=ground.joint_m
    )
    if piece is None:
        return {"outline": [], "outline_kind": ""}
    outline = [[round(x, 3), round(y, 3)] for x, y in PlanShape(piece).points]
    return {"outline": outline, "outline_kind": old.outline_kind}


def _repeat_moves(old: Defect, new: Defect) -> None:
    for move in old.moves.order_by("at", "pk"):
        DefectMove.objects.create(
            defect=new,
            from_state=move.from_state,
            to_state=move.to_state,
            is_back=move.is_back,
            why=reason_alone(move.why),
            on=move.on,
            by_id=move.by_id,
            by_organisation_id=move.by_organisation_id,
            at=move.at,
        )


def _looks_to_repeat(looks: Iterable[Observation]) -> list[Observation]:
    """Return the last look that found it, of each side and of those sent in, and misses after it.

    What a side may see is decided look by look; each is to find at the part what it saw last.
    """
    rows = list(looks)
    chosen: set[int] = set()
    audiences = [rows, [row for row in rows if row.submitted_on is not None]]
    for side in {row.entered_for_id for row in rows}:
        audiences.append([row for row in rows if row.entered_for_id == side])
    for seen in audiences:
        found = [n for n, row in enumerate(seen) if row.found == Observation.Found.FOUND]
        since = seen[found[-1] :] if found else seen
        chosen |= {row.pk for row in since if row.found != Observation.Found.COULD_NOT_LOOK}
    return [row for row in rows if row.pk in chosen]


def _repeat_look(look: Observation, new: Defect, is_shared: bool) -> None:
    left_out = {"id", "defect", "visit", "import_batch", *(EXTENTS if is_shared else ())}
    fields = {
        field.attname: getattr(look, field.attname)
        for field in look._meta.concrete_fields
        if field.name not in left_out
    }
    row = Observation(**fields | {"defect_id": new.pk, "carried_from_id": look.pk})
    if is_shared:
        missing = {name: "nm" for name in EXTENTS if getattr(look, name) is not None}
        row.empties = row.empties | missing
        row.as_written = {k: v for k, v in row.as_written.items() if k not in EXTENTS}
    row.save(force_insert=True)


def _close(
    old: Defect, why: str, on: date, by: Person | None, organisation: Organisation | None
) -> None:
    last = old.moves.order_by("at", "pk").last()
    day = max(on, old.first_seen_on, last.on if last is not None else on)
    DefectMove.objects.create(
        defect=old, from_state=old.state, to_state="carried_on", why=why[:300], on=day, by=by,
        by_organisation=organisation,
    )  # fmt: skip
    changes = {"state": [str(old.get_state_display()), "carried on at a part"]}
    old.state = "carried_on"
    old.save(update_fields=["state"])
    write_line(old, "carried on", by=by, organisation=organisation, why=why[:300], changes=changes)
