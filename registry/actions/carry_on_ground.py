"""Carry on at the parts of a split pavement what lies below and beside its panels.

Each new row says that it was read for the whole. The old rows stay with it, with their readings.
"""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.db.models import Model, Q

from registry.actions.carry_on_defects import Ground
from registry.actions.write_journal import write_line
from registry.gathering.shared_ground import Placed, SharedGround
from registry.models import (
    Edge,
    Joint,
    Layer,
    ObservationWell,
    Organisation,
    Pavement,
    Person,
    Spot,
    Stratum,
    Structure,
)
from registry.models.entry import Entry

LEFT_OUT = {
    "id", "pavement", "panel", "section", "structure", "import_batch", "draw", "draw_order",
}  # fmt: skip
"""Columns that lead to rows of the whole; whose they are at the part is said for each kind. A
spreadsheet that is taken back takes back what it brought, not what goes on at a part."""


def carry_on_ground(
    whole: Pavement,
    shared: SharedGround,
    grounds: Iterable[Ground],
    *,
    on: date,
    by: Person | None,
    organisation: Organisation | None,
) -> None:
    """Store at each part its structures, spots, wells, joints, strata and edges of panels.

    A structure of the whole goes on at both parts, that of a section with its section. Called by
    the split, in its transaction.
    """
    note = f"As read for the whole, {whole}, before its split on {on.isoformat()}."
    structures = list(
        whole.structures.standing().filter(Q(to_on__isnull=True) | Q(to_on__gt=on)).order_by("pk")
    )
    for number, ground in enumerate(grounds):
        new: list[Entry] = [_placed(row, ground) for row, part in shared.rows if part == number]
        for old in structures:
            if old.section_id is None or old.section_id in ground.sections:
                new.append(_structure(old, ground))
        for row in new:
            row.note = " ".join(filter(None, (note, row.note)))
            row.save(update_fields=["note"])
            write_line(row, "carried on", by=by, organisation=organisation, why="from the whole")
        for edge in Edge.objects.standing().filter(panel__in=ground.panels).order_by("pk"):
            Edge.objects.create(panel=ground.panels[edge.panel_id], **_same(edge))


def _placed(old: Placed, ground: Ground) -> Placed:
    if isinstance(old, Spot):
        panel = ground.panels.get(old.panel_id or 0)
        return Spot.objects.create(pavement=ground.pavement, panel=panel, **_same(old))
    kind: type[ObservationWell | Joint | Stratum] = type(old)
    return kind.objects.create(pavement=ground.pavement, **_same(old))


def _structure(old: Structure, ground: Ground) -> Structure:
    section = ground.sections.get(old.section_id or 0)
    new = Structure.objects.create(pavement=ground.pavement, section=section, **_same(old))
    for layer in old.layers.order_by("pk"):
        Layer.objects.create(structure=new, **_same(layer))
    return new


def _same(row: Model) -> dict[str, Any]:
    fields = (field for field in row._meta.concrete_fields if field.name not in LEFT_OUT)
    return {field.attname: getattr(row, field.attname) for field in fields}
