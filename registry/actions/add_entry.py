"""Add an entry of the record: a site, section, criteria set, run-on area, source of dirt ..."""

from typing import TypeVar

from django.db import transaction
from django.utils import timezone

from registry.actions.refresh_standing import refresh_after
from registry.actions.write_journal import write_line
from registry.models import Organisation, Person
from registry.models.entry import Entry

Row = TypeVar("Row", bound=Entry)

SET_BY_ACTIONS = frozenset({"entered_by", "entered_for", "void_by", "double_of", "import_batch"})
"""Relations that actions set, so that validation does not ask for them."""


@transaction.atomic
def add_entry(
    row: Row, *, by: Person | None, organisation: Organisation | None, why: str = ""
) -> Row:
    """Store a new entry and its journal line; the pavement's condition follows.

    Raises ValidationError where the row breaks a rule of its table.
    """
    row.entered_by = by
    row.entered_for = organisation
    row.entered_at = timezone.now()
    row.full_clean(exclude=SET_BY_ACTIONS)
    row.save(force_insert=True)
    write_line(row, "added", by=by, organisation=organisation, why=why)
    refresh_after(row)
    return row
