"""Store what a spreadsheet says of defects, each by the action that a page would call."""

from collections.abc import Mapping, Sequence
from typing import Any

from registry.actions.link_defects import link_defects
from registry.actions.move_defect import move_defect
from registry.actions.record_defect import record_defect
from registry.actions.record_observation import record_observation
from registry.defects import Measured, grade
from registry.exchange.defect_lines import from_file
from registry.exchange.defect_threads import Step, Thread
from registry.models import Defect, DefectLink, ImportBatch, Observation, Pavement
from registry.models.choices import Answer, Source
from registry.units import System


def store_defect_rows(
    batch: ImportBatch, threads: Sequence[Thread], pavements: Mapping[str, int]
) -> None:
    """Store the threads of a batch, which has its key. `pavements` holds the keys by ref.

    Whoever calls it brings conditions up to date and writes the pavements' line of the journal.
    """
    rows = Pavement.objects.select_related("site")
    found = rows.in_bulk({pavements[thread.ref] for thread in threads})
    stored: dict[int, Defect] = {}
    for thread in threads:
        _store(batch, thread, found[pavements[thread.ref]], stored)


def _store(
    batch: ImportBatch, thread: Thread, pavement: Pavement, stored: dict[int, Defect]
) -> None:
    given: dict[str, Any] = {"by": batch.by, "organisation": batch.organisation}
    steps = list(thread.steps)
    if thread.known is not None:
        row = thread.known.defect
    else:
        first = steps.pop(0)
        row = _defect(batch, thread, pavement)
        record_defect(
            row, first_look=_look(batch, first, row), look_moves=False, is_checked=True, **given
        )
        _link(batch, thread, row, stored, given)
    stored[id(thread)] = row
    for step in steps:
        if step.found:
            look = _look(batch, step, row)
            record_observation(look, defect_moves=False, is_checked=True, **given)
        if step.to_state:
            rest = "" if step.found else step.row.marks.rest
            move_defect(
                row,
                to_state=step.to_state,
                is_back=step.is_back,
                is_passing=step.is_passing,
                on=step.row.seen_on,
                why=from_file(batch.pk, step.row.row, rest)[:300],
                **given,
            )


def _link(
    batch: ImportBatch,
    thread: Thread,
    row: Defect,
    stored: dict[int, Defect],
    given: dict[str, Any],
) -> None:
    if thread.recurs is None:
        return
    came = thread.recurs
    other = stored[id(came)] if isinstance(came, Thread) else came.defect
    first = thread.first_row
    relation, why = DefectLink.Relation.RECURS, from_file(batch.pk, first)
    link_defects(row, relation=relation, other=other, on=row.first_seen_on, why=why, **given)


def _defect(batch: ImportBatch, thread: Thread, pavement: Pavement) -> Defect:
    row, place, sheets = thread.steps[0].row, thread.place, System(pavement.sheet_system)
    fields: dict[str, Any] = {"concrete_placed_on": pavement.placed_on}
    if thread.spot is not None:
        fields = thread.spot.fields
    elif not place.panel and place.outline:
        kind = {1: "spot", 2: "line"}.get(len(place.outline), "area")
        fields |= {"outline": [list(point) for point in place.outline], "outline_kind": kind}
    fields["is_provisional"] = row.marks.is_provisional or bool(fields.get("is_provisional"))
    return Defect(
        pavement=pavement,
        kind=thread.kind,
        state=row.state or "noted",
        other_number=thread.number,
        place=place.in_system(sheets) if place.text else "",
        first_seen_on=row.seen_on,
        as_written={"place": place.text, "place_in": place.system.value} | _cells_of_place(thread),
        **fields,
        **_of_batch(batch),
    )


def _cells_of_place(thread: Thread) -> dict[str, str]:
    written = thread.steps[0].row.written
    return {name: written[name] for name in ("panel", "right", "up") if name in written}


def _look(batch: ImportBatch, step: Step, defect: Defect) -> Observation:
    row = step.row
    missed = step.found == Observation.Found.NOT_FOUND
    given = grade(row.kind, Measured(**row.measures)).severity  # type: ignore[arg-type]
    return Observation(
        defect=defect,
        seen_on=row.seen_on,
        found=step.found,
        good_light=Answer.YES if missed and step.to_state else "",
        method=row.marks.method,
        severity=row.severity,
        severity_by_eye=bool(row.severity) and given != row.severity,
        note=row.marks.rest,
        as_written=row.written,
        empties={name: kind for name, kind in row.empties.items() if hasattr(Observation, name)},
        **row.measures,
        **_of_batch(batch),
    )


def _of_batch(batch: ImportBatch) -> dict[str, Any]:
    return {
        "source": Source.IMPORT,
        "source_note": batch.file_name[:200],
        "import_batch": batch,
    }
