"""Copy in the sheet of a work order that came back: what became of the order, as the crew wrote."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.db import transaction

from registry.actions.call_off_work_order import call_off_work_order
from registry.actions.copy_sheet import differences, storable
from registry.actions.do_work_order import do_work_order
from registry.actions.write_journal import write_line
from registry.models import (
    Cleaning,
    InfiltrationTest,
    Organisation,
    Panel,
    Person,
    PrintedSheet,
    SheetCopy,
    WorkOrder,
)
from registry.models.choices import Source


@dataclass(frozen=True)
class SweepRead:
    """What the sheet says, read: an unsaved cleaning or event, and what stands beside it."""

    event: Cleaning
    missed: Mapping[Panel, str] = field(default_factory=dict)
    before_tests: Iterable[InfiltrationTest] = ()
    after_tests: Iterable[InfiltrationTest] = ()


@transaction.atomic
def copy_sweep_sheet(
    sheet: PrintedSheet,
    *,
    order: WorkOrder,
    read: SweepRead,
    typed: Mapping[str, str],
    by: Person | None,
    organisation: Organisation | None,
) -> SheetCopy:
    """Store the first copy with what became of the order; hold a later one as a double.

    The sheet is locked, so that of two people at once the second becomes the first's double.
    Whatever the order's own actions refuse is raised, and nothing is stored.
    """
    double = hold_sweep_double(sheet, typed=typed, by=by, organisation=organisation)
    if double is not None:
        return double
    event = read.event
    event.source, event.sheet_number = Source.PAPER, sheet.number
    given: dict[str, Any] = {"by": by, "organisation": organisation}
    if event.is_cleaning:
        do_work_order(
            order,
            cleaning=event,
            missed=read.missed,
            before_tests=read.before_tests,
            after_tests=read.after_tests,
            **given,
        )
    else:
        call_off_work_order(order, event=event, **given)
    write_line(event, "copied in", why=f"from {sheet.number}", **given)
    return SheetCopy.objects.create(
        sheet=sheet, cleaning=event, typed=storable(typed), copied_by=by, copied_for=organisation
    )


@transaction.atomic
def hold_sweep_double(
    sheet: PrintedSheet,
    *,
    typed: Mapping[str, str],
    by: Person | None,
    organisation: Organisation | None,
) -> SheetCopy | None:
    """Hold a second copy as typed, readable or not; None where there is no first to compare.

    A first copy whose cleaning was voided makes room: the sheet may be copied in anew.
    """
    locked = PrintedSheet.objects.select_for_update().get(pk=sheet.pk)
    locked.copies.filter(is_double=False, cleaning__void_at__isnull=False).update(is_double=True)
    first = locked.copies.filter(is_double=False).select_related("cleaning").first()
    if first is None:
        return None
    typed = storable(typed)
    double = SheetCopy.objects.create(
        sheet=locked,
        cleaning=first.cleaning,
        typed=typed,
        is_double=True,
        differences=differences(first.typed, typed),
        copied_by=by,
        copied_for=organisation,
    )
    if first.cleaning is not None:
        why = f"{sheet} copied in again: {len(double.differences)} differences, held"
        write_line(first.cleaning, "double of", by=by, organisation=organisation, why=why)
    return double
