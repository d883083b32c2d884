"""Who prints and copies in the load sheet and the cover walk cards of a placing day."""

from django.core.exceptions import PermissionDenied
from django.db.models import Q
from django.http import Http404

from registry.access.holding import rights_at
from registry.access.people import organisations_of
from registry.access.placing import get_placing_day, visible_placing_days
from registry.models import Organisation, Person, PlacingDay, PrintedSheet, SheetCopy, SheetKind
from registry.models.choices import Role
from registry.models.placing_day import PlacingDayQuerySet

OF_A_DAY = frozenset({SheetKind.LOAD, SheetKind.COVER})
"""Sheets that are copied in to a placing day."""

OFFERED = 30
"""Days offered for a sheet that was printed blank; the newest."""


def day_of_sheet(person: Person, sheet: PrintedSheet, pk: int | None) -> PlacingDay | None:
    """Return the day that such a sheet was printed for, or the one a blank is said to be of.

    None where a blank sheet is of no day yet. Where the day was handed over, PermissionDenied.
    """
    kept = sheet.content.get("placing_day")
    found = kept if isinstance(kept, int) else pk
    if sheet.kind not in OF_A_DAY or found is None:
        return None
    return get_placing_day(person, found, to="write")


def may_copy_to_day(person: Person, sheet: PrintedSheet) -> bool:
    """Say whether a person copies in a load sheet or cover card: for its day, or a blank one."""
    if sheet.kind not in OF_A_DAY:
        return False
    if sheet.content.get("placing_day") is None:
        return sheet.pavement_id is None
    try:
        return day_of_sheet(person, sheet, None) is not None
    except (Http404, PermissionDenied):
        return False


def days_to_copy_to(person: Person) -> PlacingDayQuerySet:
    """Return the newest placing days that a person's own side wrote."""
    own = organisations_of(person).values("pk")
    rows = PlacingDay.objects.standing().filter(entered_for__in=own).select_related("pavement")
    return rows.order_by("-placed_on", "-pk")[:OFFERED]


def printing_side(person: Person, row: PlacingDay) -> Organisation:
    """Return the contractor for whom a person prints sheets of a placing day of their own."""
    seats = rights_at(person, row.pavement).open_seats
    own = [seat.organisation for seat in seats if seat.role == Role.CONTRACTOR]
    if not own or row.entered_for_id not in (None, *(side.pk for side in own)):
        raise PermissionDenied("Only the contractor who placed it prints these sheets.")
    return own[0]


def copies_of_day_sheet(person: Person, sheet: PrintedSheet) -> list[SheetCopy]:
    """Return the copies of such a sheet: of a day that one sees, or of one's own side."""
    shown = Q(copied_for__in=organisations_of(person).values("pk"))
    if sheet.pavement is not None:
        days = visible_placing_days(person, sheet.pavement)
        shown |= Q(placing_day__in=days.values("pk"))
    rows = sheet.copies.filter(shown)
    return list(rows.select_related("placing_day", "cleaning", "visit", "copied_by", "sheet"))
