"""Store what a spreadsheet says of defects: the rows a page would store, by a few statements.

One after the other, by the actions of the pages, a row took 9 ms; here it takes less than one. The
rules are those of the actions: days, places, moves and severities are refused and worked out by
the same functions. Only the database is asked once for all rows and not once for each.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.db import models, transaction
from django.db.models import Max
from django.utils import timezone

from registry.actions.link_defects import link_defects
from registry.actions.record_defect import refuse_strangers
from registry.actions.record_observation import grade_look, refuse_before_first
from registry.actions.refuse_days_ahead import refuse_days_ahead
from registry.actions.write_journal import line_of
from registry.defects import STATES, Measured, grade, refuse_move
from registry.defects.passing import reaches
from registry.exchange.defect_lines import from_file
from registry.exchange.defect_threads import Step, Thread
from registry.models import (
    Defect,
    DefectLink,
    DefectMove,
    ImportBatch,
    JournalLine,
    Observation,
    Pavement,
)
from registry.models.choices import Answer, Source
from registry.units import System

AT_ONCE = 1000


@dataclass
class _Written:
    """Rows to store, in the order in which a page would have stored them.

    moved  defects that a row moved on, by identity
    told   what the journal says: (row, verb, why, changes)
    """

    batch: ImportBatch
    at: datetime
    defects: list[Defect] = field(default_factory=list)
    looks: list[Observation] = field(default_factory=list)
    moves: list[DefectMove] = field(default_factory=list)
    moved: dict[int, Defect] = field(default_factory=dict)
    told: list[tuple[models.Model, str, str, dict[str, list[str]]]] = field(default_factory=list)


@transaction.atomic
def store_defect_rows(
    batch: ImportBatch, threads: Sequence[Thread], pavements: Mapping[str, int]
) -> None:
    """Store the threads of a batch, which has its key. `pavements` holds the keys by ref.

    Whoever calls it brings conditions up to date and writes the pavements' line of the journal.
    """
    if not threads:
        return
    keys = {pavements[thread.ref] for thread in threads}
    # Two who number defects at once wait for each other, as they do on a page.
    held = Pavement.objects.filter(pk__in=keys).held().select_related("site")
    found = {row.pk: row for row in held}
    known = _lock_known(threads)
    written = _Written(batch, timezone.now())
    numbers = _last_numbers(keys)
    stored: dict[int, Defect] = {}
    for thread in threads:
        pavement = found[pavements[thread.ref]]
        row = known[thread.known.defect.pk] if thread.known else None
        stored[id(thread)] = _weave(written, thread, pavement, row, numbers)
    _store(written)
    _link(batch, threads, stored)


def _lock_known(threads: Iterable[Thread]) -> dict[int, Defect]:
    """Return the defects of the record that rows speak of, with their moves, by id."""
    ids = sorted({thread.known.defect.pk for thread in threads if thread.known is not None})
    rows: dict[int, Defect] = {}
    for start in range(0, len(ids), AT_ONCE):
        some = Defect.objects.select_for_update().filter(pk__in=ids[start : start + AT_ONCE])
        rows |= {row.pk: row for row in some.prefetch_related("moves")}
    return rows


def _last_numbers(pavements: Iterable[int]) -> dict[int, int]:
    rows = Defect.objects.filter(pavement__in=pavements).order_by()
    return dict(rows.values_list("pavement").annotate(last=Max("number")))


def _weave(
    written: _Written,
    thread: Thread,
    pavement: Pavement,
    row: Defect | None,
    numbers: dict[int, int],
) -> Defect:
    """Add the rows of a thread; return its defect, the new one or the one of the record."""
    steps = list(thread.steps)
    if row is None:
        first = steps.pop(0)
        numbers[pavement.pk] = numbers.get(pavement.pk, 0) + 1
        row, states = _begin(written, thread, pavement, numbers[pavement.pk])
        _look(written, first, row)
    else:
        row.pavement = pavement
        states = [state for m in row.moves.all() for state in (m.from_state, m.to_state) if state]
    for step in steps:
        if step.found:
            _look(written, step, row)
        if step.to_state:
            _move(written, step, row, states)
    return row


def _begin(
    written: _Written, thread: Thread, pavement: Pavement, number: int
) -> tuple[Defect, list[str]]:
    row = _defect(written.batch, thread, pavement)
    refuse_strangers(row)
    row.number = number
    _enter(written, row)
    written.defects.append(row)
    written.moves.append(_moved(written, row, row.state, on=row.first_seen_on))
    written.told.append((row, "noted", "", {}))
    return row, [row.state]


def _look(written: _Written, step: Step, row: Defect) -> None:
    look = _seen(written.batch, step, row)
    refuse_before_first(look, row)
    grade_look(look, row.kind)
    _enter(written, look)
    written.looks.append(look)
    written.told.append((look, "looked at", "", {}))


def _move(written: _Written, step: Step, row: Defect, states: list[str]) -> None:
    rest = "" if step.found else step.row.marks.rest
    why = from_file(written.batch.pk, step.row.row, rest)[:300]
    goal, back = step.to_state, step.is_back
    # Where a file leaves steps out, its state has to be within reach; none is made up between.
    if not (step.is_passing and reaches(row.state, goal)):
        refuse_move(row.state, goal, is_back=back, earlier=states, why=why)
    written.moves.append(
        _moved(written, row, goal, on=step.row.seen_on, from_state=row.state, is_back=back, why=why)
    )
    changes = {"state": [STATES[row.state], STATES[goal]]}
    written.told.append((row, "moved back" if back else "moved", why, changes))
    states += [row.state, goal]
    row.state = goal
    written.moved[id(row)] = row


def _moved(written: _Written, row: Defect, goal: str, **fields: Any) -> DefectMove:
    batch = written.batch
    return DefectMove(
        defect=row,
        to_state=goal,
        by=batch.by,
        by_organisation=batch.organisation,
        at=written.at,
        **fields,
    )


def _enter(written: _Written, row: Defect | Observation) -> None:
    """Sign an unsaved entry, and hold its fields to what its table takes.

    Keys are not asked after: they are those of rows that were just fetched or made.
    """
    refuse_days_ahead(row)
    batch = written.batch
    row.entered_by, row.entered_for, row.entered_at = batch.by, batch.organisation, written.at
    row.clean_fields(exclude=_KEYS[type(row)])


_KEYS = {
    model: {f.name for f in model._meta.concrete_fields if f.is_relation or f.primary_key}
    for model in (Defect, Observation)
}


def _store(written: _Written) -> None:
    """Store the rows, those that others point to first, each list in its order.

    A new defect is stored in the state that its last row left it in.
    """
    Defect.objects.bulk_create(written.defects, batch_size=AT_ONCE)
    for look in written.looks:
        look.defect_id = look.defect.pk  # which it has only now
    for move in written.moves:
        move.defect_id = move.defect.pk
    Observation.objects.bulk_create(written.looks, batch_size=AT_ONCE)
    DefectMove.objects.bulk_create(written.moves, batch_size=AT_ONCE)
    new = {id(row) for row in written.defects}
    known = [row for key, row in written.moved.items() if key not in new]
    Defect.objects.bulk_update(known, ["state"], batch_size=AT_ONCE)
    batch = written.batch
    lines = [
        line_of(row, verb, by=batch.by, organisation=batch.organisation, why=why, changes=changes)
        for row, verb, why, changes in written.told
    ]
    JournalLine.objects.bulk_create(lines, batch_size=AT_ONCE)


def _link(batch: ImportBatch, threads: Iterable[Thread], stored: Mapping[int, Defect]) -> None:
    for thread in threads:
        if thread.recurs is None or thread.known is not None:
            continue
        came, row = thread.recurs, stored[id(thread)]
        other = stored[id(came)] if isinstance(came, Thread) else came.defect
        link_defects(
            row,
            relation=DefectLink.Relation.RECURS,
            other=other,
            on=row.first_seen_on,
            why=from_file(batch.pk, thread.first_row),
            by=batch.by,
            organisation=batch.organisation,
        )


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


def _seen(batch: ImportBatch, step: Step, defect: Defect) -> Observation:
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
        direction=row.marks.direction,
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
