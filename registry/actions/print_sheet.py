"""Print a sheet: take the next number of its kind, draw it, and keep what went out."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from django.db import transaction

from registry.actions.write_journal import write_line
from registry.models import Crew, Organisation, Pavement, Person, Plan, PrintedSheet, SheetCounter
from registry.models.printed_sheet import LETTERS


class Drawn(Protocol):
    """A finished sheet."""

    @property
    def pdf(self) -> bytes: ...

    @property
    def pages(self) -> int: ...


@dataclass(frozen=True)
class Print:
    """What went out, and the row that tells of it."""

    row: PrintedSheet
    pdf: bytes


@transaction.atomic
def print_sheet(
    *,
    kind: str,
    draw: Callable[[str], Drawn],
    content: Mapping[str, Any],
    system: str,
    paper: str,
    pavement: Pavement | None,
    by: Person | None,
    organisation: Organisation | None,
    crew: Crew | None = None,
    number: str = "",
) -> Print:
    """Draw a sheet under the next number, store the record of it and the journal line.

    `draw` is given the number. The number is taken and the sheet drawn in one transaction: what
    cannot be drawn takes no number. A blank sheet has no pavement; a day sheet has a crew instead.
    A dossier takes too long for that: it brings the `number` of its own row.
    Raises whatever `draw` raises.
    """
    number = number or _next_number(kind)
    drawn = draw(number)
    row = PrintedSheet(
        number=number,
        kind=kind,
        pavement=pavement,
        crew=crew,
        plan=_plan(pavement, content.get("plan_number")),
        system=system,
        paper=paper,
        pages=drawn.pages,
        content=dict(content),
        printed_by=by,
    )
    row.full_clean()
    row.save(force_insert=True)
    write_line(row, "printed", by=by, organisation=organisation, pavement=pavement)
    return Print(row, drawn.pdf)


def _next_number(kind: str) -> str:
    """Take the next number of a kind; nobody else gets one until the transaction ends.

    PostgreSQL locks the counter's row. SQLite has no row locks, but its transactions are opened
    IMMEDIATE here, so that one writer at a time is past this point.
    """
    SheetCounter.objects.get_or_create(kind=kind)
    counter = SheetCounter.objects.select_for_update().get(kind=kind)
    counter.last += 1
    # Sheets of an older record may have been brought in under numbers of the same make.
    while PrintedSheet.objects.filter(number=_written(kind, counter.last)).exists():
        counter.last += 1
    counter.save(update_fields=["last"])
    return _written(kind, counter.last)


def _written(kind: str, number: int) -> str:
    return f"{LETTERS[kind]}-{number:04d}"


def _plan(pavement: Pavement | None, number: Any) -> Plan | None:
    """The plan that was printed, by the number that stands on the sheet."""
    if pavement is None or number is None:
        return None
    return pavement.plans.standing().get(number=number)
