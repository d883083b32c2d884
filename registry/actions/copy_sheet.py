"""Copy in an inspection sheet that came back: its visit by the same actions as a walk."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from django.db import transaction

from registry.actions.answer_defect import answer_defect
from registry.actions.close_visit import close_visit
from registry.actions.name_dirt import name_dirt
from registry.actions.note_defect import note_defect
from registry.actions.open_visit import open_visit
from registry.actions.read_well import read_well
from registry.actions.walk_panels import walk_panels
from registry.actions.write_journal import write_line
from registry.gathering.known_defects import Seen
from registry.models import (
    Defect,
    DirtSource,
    Observation,
    Organisation,
    Panel,
    Person,
    PrintedSheet,
    SheetCopy,
    Visit,
    WellReading,
)
from registry.models.choices import Source

ROWS = ("known no. ", "new row ", "well ")
"""How places in the rows of a sheet begin; all others are “block: label”, each label once."""


@dataclass(frozen=True)
class NewOnSheet:
    """A row of the NEW block: a defect with its first look, and what a person decided it is.

    relation: "" a new one; else what it is to `other`, as `note_defect` takes it.
    """

    defect: Defect
    look: Observation
    relation: str = ""
    other: Defect | None = None


@dataclass(frozen=True)
class SheetRead:
    """What a sheet says, read: unsaved rows. `panels` are those of the plan it was printed with."""

    visit: Visit
    answers: Sequence[Observation] = ()
    new: Sequence[NewOnSheet] = ()
    walked: Sequence[Panel] = ()
    unseen: Mapping[Panel, str] = field(default_factory=dict)
    panels: Sequence[Panel] = ()
    readings: Sequence[WellReading] = ()
    dirt_known: Sequence[DirtSource] = ()
    dirt_new: Sequence[DirtSource] = ()
    signed_by: str = ""
    ended_at: datetime | None = None
    next_due_on: date | None = None
    why_not_entered: str = ""


@transaction.atomic
def copy_sheet(
    sheet: PrintedSheet,
    *,
    read: SheetRead,
    seen: Seen,
    typed: Mapping[str, str],
    by: Person | None,
    organisation: Organisation | None,
) -> SheetCopy:
    """Store the first copy of a sheet with the visit it tells of; hold a later one as a double.

    Two people at once: the sheet is locked, so that the second finds the first's copy and becomes
    its double. Whatever the actions refuse is raised, and nothing is stored.
    """
    locked = PrintedSheet.objects.select_for_update().get(pk=sheet.pk)
    _set_aside_void(locked)
    if (first := locked.copies.filter(is_double=False).first()) is not None:
        return _hold(first, typed, by, organisation)
    visit = _visit(locked, read, seen, by, organisation)
    copy = _copy(locked, visit, typed, by, organisation)
    write_line(visit, "copied in", by=by, organisation=organisation, why=f"from {sheet.number}")
    return copy


@transaction.atomic
def hold_double(
    sheet: PrintedSheet,
    *,
    typed: Mapping[str, str],
    by: Person | None,
    organisation: Organisation | None,
) -> SheetCopy | None:
    """Hold a second copy as typed, readable or not; None where there is no first to compare."""
    locked = PrintedSheet.objects.select_for_update().get(pk=sheet.pk)
    _set_aside_void(locked)
    first = locked.copies.filter(is_double=False).first()
    return _hold(first, typed, by, organisation) if first is not None else None


def _set_aside_void(sheet: PrintedSheet) -> None:
    """A first copy whose visit was voided makes room: the sheet may be copied in anew."""
    sheet.copies.filter(is_double=False, visit__void_at__isnull=False).update(is_double=True)


def _hold(
    first: SheetCopy,
    typed: Mapping[str, str],
    by: Person | None,
    organisation: Organisation | None,
) -> SheetCopy:
    double = _copy(first.sheet, first.visit, typed, by, organisation, first=first)
    if first.visit is not None:
        why = f"{first.sheet} copied in again: {len(double.differences)} differences, held"
        write_line(first.visit, "double of", by=by, organisation=organisation, why=why)
    return double


def _copy(
    sheet: PrintedSheet,
    visit: Visit | None,
    typed: Mapping[str, str],
    by: Person | None,
    organisation: Organisation | None,
    *,
    first: SheetCopy | None = None,
) -> SheetCopy:
    typed = storable(typed)
    return SheetCopy.objects.create(
        sheet=sheet,
        visit=visit,
        typed=typed,
        is_double=first is not None,
        differences=differences(first.typed, typed) if first is not None else [],
        copied_by=by,
        copied_for=organisation,
    )


def storable(typed: Mapping[str, str]) -> dict[str, str]:
    """Return what was typed as it is kept: PostgreSQL takes no NUL, U+FFFD stands in its place."""
    return {place: text.replace("\0", "\ufffd") for place, text in typed.items()}


def differences(first: Mapping[str, str], second: Mapping[str, str]) -> list[list[str]]:
    """Return [place on the sheet, as typed first, as typed now] where two copies differ.

    A field that has moved to another block of the sheet between the two is still that field.
    """
    places = {_field(place): place for place in (*first, *second)}
    before, now = ({_field(place): text for place, text in one.items()} for one in (first, second))
    return [
        [place, before.get(field, ""), now.get(field, "")]
        for field, place in places.items()
        if _plain(before.get(field, "")) != _plain(now.get(field, ""))
    ]


def _field(place: str) -> str:
    """Return what tells a field from all others: its row and label, in no row the label alone."""
    return place if place.startswith(ROWS) else place.partition(": ")[2] or place


def _plain(text: str) -> str:
    return " ".join(text.split()).casefold()


def _visit(
    sheet: PrintedSheet,
    read: SheetRead,
    seen: Seen,
    by: Person | None,
    organisation: Organisation | None,
) -> Visit:
    """Make the visit of a sheet the way a walk does, one answer after the other."""
    visit = read.visit
    visit.source, visit.sheet_number = Source.PAPER, sheet.number
    visit.written_at = read.ended_at or visit.started_at
    open_visit(visit, by=by, organisation=organisation)
    for look in read.answers:
        look.visit = visit
        answer_defect(look, seen=None, by=by, organisation=organisation)
    for row in read.new:
        _note(row, visit, by, organisation)
    if read.walked or read.unseen:
        walk_panels(visit, walked=read.walked, unseen=read.unseen, by=by, organisation=organisation)
    for reading in read.readings:
        reading.visit, reading.read_on = visit, visit.done_on
        _from_paper(reading, visit)
        read_well(reading, by=by, organisation=organisation)
    name_dirt(visit, known=read.dirt_known, new=read.dirt_new, by=by, organisation=organisation)
    return close_visit(
        visit,
        signed_by=read.signed_by,
        seen=seen,
        panels=read.panels,
        ended_at=read.ended_at,
        next_due_on=read.next_due_on,
        why_not_entered=read.why_not_entered,
        by=by,
        organisation=organisation,
    )


def _note(
    row: NewOnSheet, visit: Visit, by: Person | None, organisation: Organisation | None
) -> None:
    defect, look = row.defect, row.look
    defect.pavement, defect.first_seen_on = visit.pavement, visit.done_on
    look.visit, look.seen_on, look.seen_by = visit, visit.done_on, visit.walked_by
    _from_paper(defect, visit)
    _from_paper(look, visit)
    note_defect(
        defect,
        first_look=look,
        relation=row.relation,
        other=row.other,
        by=by,
        organisation=organisation,
    )


def _from_paper(row: Defect | Observation | WellReading, visit: Visit) -> None:
    row.source, row.sheet_number = Source.PAPER, visit.sheet_number
    row.written_at = visit.written_at
