"""Copy in a load sheet that came back: its loads by the same actions as the forms."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from django.db import transaction

from registry.actions.add_entry import add_entry
from registry.actions.add_load import add_load
from registry.actions.copy_sheet import differences, storable
from registry.actions.write_journal import write_line
from registry.models import (
    Load,
    Organisation,
    Person,
    PlacingDay,
    PrintedSheet,
    SheetCopy,
    Spread,
)
from registry.models.choices import Source


@dataclass(frozen=True)
class LoadRead:
    """A load of the sheet, read: the unsaved row, and where it went."""

    load: Load
    spreads: Sequence[Spread] = ()


@dataclass(frozen=True)
class WhoCopied:
    """Who typed a sheet, for whom, and what stands at each of its places."""

    typed: Mapping[str, str]
    by: Person | None
    organisation: Organisation | None


@transaction.atomic
def copy_load_sheet(
    sheet: PrintedSheet,
    *,
    day: PlacingDay,
    loads: Sequence[LoadRead],
    typed: Mapping[str, str],
    by: Person | None,
    organisation: Organisation | None,
) -> SheetCopy:
    """Store the first copy with its loads; hold a later one as a double.

    The sheet is locked, so that of two people at once the second becomes the first's double.
    Whatever the loads' own actions refuse is raised, and nothing is stored.
    """
    who = WhoCopied(storable(typed), by, organisation)
    double = held_as_double(sheet, who, _has_loads)
    if double is not None:
        return double
    for one in loads:
        one.load.placing_day = day
        _from_paper(one.load, sheet)
        load = add_load(one.load, by=by, organisation=organisation)
        for spread in one.spreads:
            spread.load = load
            _from_paper(spread, sheet)
            add_entry(spread, by=by, organisation=organisation)
    write_line(day, "copied in", why=f"from {sheet.number}", by=by, organisation=organisation)
    return SheetCopy.objects.create(
        sheet=sheet, placing_day=day, typed=who.typed, copied_by=by, copied_for=organisation
    )


@transaction.atomic
def hold_load_double(
    sheet: PrintedSheet,
    *,
    typed: Mapping[str, str],
    by: Person | None,
    organisation: Organisation | None,
) -> SheetCopy | None:
    """Hold a second copy as typed, readable or not; None where there is no first to compare."""
    return held_as_double(sheet, WhoCopied(storable(typed), by, organisation), _has_loads)


def held_as_double(
    sheet: PrintedSheet, who: WhoCopied, stands: Callable[[PrintedSheet, PlacingDay], bool]
) -> SheetCopy | None:
    """Hold a copy of a sheet of a placing day that was copied in before; None where it was not.

    A first copy of which nothing `stands` makes room: the sheet may be copied in anew.
    """
    locked = PrintedSheet.objects.select_for_update().get(pk=sheet.pk)
    first = locked.copies.filter(is_double=False).select_related("placing_day").first()
    if first is None or first.placing_day is None:
        return None
    day = first.placing_day
    if not stands(sheet, day):
        locked.copies.filter(pk=first.pk).update(is_double=True)
        return None
    double = SheetCopy.objects.create(
        sheet=locked,
        placing_day=day,
        typed=who.typed,
        is_double=True,
        differences=differences(first.typed, who.typed),
        copied_by=who.by,
        copied_for=who.organisation,
    )
    why = f"{sheet} copied in again: {len(double.differences)} differences, held"
    write_line(day, "double of", by=who.by, organisation=who.organisation, why=why)
    return double


def _has_loads(sheet: PrintedSheet, day: PlacingDay) -> bool:
    return day.loads.standing().filter(sheet_number=sheet.number).exists()


def _from_paper(row: Load | Spread, sheet: PrintedSheet) -> None:
    row.source, row.sheet_number = Source.PAPER, sheet.number
