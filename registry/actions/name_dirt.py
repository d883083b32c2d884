"""Say in a visit where dirt comes from: sources known before, and new ones."""

from collections.abc import Iterable

from django.db import transaction

from registry.actions.add_entry import add_entry
from registry.actions.answer_defect import refuse_unless_open
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import DirtSource, Organisation, Person, Visit


class CannotNameDirt(DomainError):
    """A source of dirt of another pavement."""


@transaction.atomic
def name_dirt(
    visit: Visit,
    *,
    known: Iterable[DirtSource],
    new: Iterable[DirtSource],
    by: Person | None,
    organisation: Organisation | None,
    dropped: Iterable[DirtSource] = (),
) -> list[DirtSource]:
    """Point a visit to the sources it saw; a new one goes on the record, seen on that day.

    A source of the same kind and words that is on record and not stopped is not added again.
    dropped: named by this visit before, and not meant; they stay on the record.
    """
    locked = Visit.objects.select_for_update().get(pk=visit.pk)
    refuse_unless_open(locked)
    seen = list(known)
    for source in seen:
        if source.pavement_id != locked.pavement_id:
            raise CannotNameDirt(f"{source} is not a source of dirt of this pavement.")
    for source in new:
        source.pavement, source.seen_on = locked.pavement, locked.done_on
        open_there = DirtSource.objects.open().filter(pavement=locked.pavement)
        same = open_there.filter(kind=source.kind, detail=source.detail).first()
        seen.append(same or add_entry(source, by=by, organisation=organisation))
    before = _names(locked)
    locked.dirt_sources.remove(*dropped)
    locked.dirt_sources.add(*seen)
    if (after := _names(locked)) != before:
        changes = {"dirt_sources": [before, after]}
        write_line(locked, "dirt named", by=by, organisation=organisation, changes=changes)
    return seen


def _names(visit: Visit) -> str:
    rows = visit.dirt_sources.order_by("pk")
    return "; ".join(" ".join(filter(None, (str(row), row.detail))) for row in rows)
