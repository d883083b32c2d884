"""Who sees the placing record, lots, cores and raveled shares, and who writes them.

The contractor who placed it writes until the hand-over and reads for ever; owner, manager, buyer
in view and evaluator read from the hand-over on; a municipality reads the acceptance part alone; a
tester or sweeper nothing. Crew by task and notes kept inside never leave the contractor's side.
Where no certificate is on the record, a warranty that has begun to run shows that it was handed
over; it takes no right to write away, since old days are often entered late.
"""

from django.core.exceptions import PermissionDenied
from django.db.models import Exists, OuterRef, Q
from django.http import Http404
from django.utils import timezone

from registry.access.holding import rights_at, sees
from registry.models import (
    Callback,
    CallbackMove,
    Core,
    HandOver,
    Load,
    Lot,
    Organisation,
    Pavement,
    Person,
    PlacingDay,
    RaveledShare,
)
from registry.models.choices import Role
from registry.models.entry import EntryQuerySet
from registry.models.placing_day import PlacingDayQuerySet, handed_over_by
from registry.models.raveled_share import RaveledShareQuerySet
from registry.models.rights import READERS_OF_ALL, Rights
from registry.models.seat import Seat

NOTHING = Q(pk__in=())


def placing_days_shown(rights: Rights) -> Q:
    """Return the condition under which seats show a placing day."""
    shown = Q(entered_for__in=rights.organisations)
    for seat in rights.seats:
        if seat.role == Role.CONTRACTOR:
            shown |= Q(section=seat.section_id) if seat.section_id else _no_others_work(rights)
    if rights.roles & READERS_OF_ALL:
        shown |= handed_over_by(rights.at)
    if rights.past_until is not None:
        shown |= handed_over_by(rights.at) & Q(entered_at__lt=rights.past_until)
    return shown


def _no_others_work(rights: Rights) -> Q:
    """Return the condition that no other contractor of the pavement wrote a day."""
    others = Seat.objects.filter(
        role=Role.CONTRACTOR,
        pavement=OuterRef("pavement"),
        organisation=OuterRef("entered_for"),
    ).exclude(organisation__in=rights.organisations)
    return ~Q(Exists(others))


def visible_placing_days(person: Person, pavement: Pavement) -> PlacingDayQuerySet:
    """Return the placing days of a pavement that a person may see."""
    rows = PlacingDay.objects.filter(pavement=pavement)
    return rows.filter(placing_days_shown(rights_at(person, pavement)))


def get_placing_day(person: Person, pk: int, *, to: str = "read") -> PlacingDay:
    """Return a placing day; `to="write"` asks that its contractor has not handed it over yet."""
    row = PlacingDay.objects.select_related("pavement__site", "repair").filter(pk=pk).first()
    if row is None or not sees(person, row.pavement):
        raise Http404("No such placing day.")
    if not visible_placing_days(person, row.pavement).filter(pk=pk).exists():
        raise Http404("No such placing day.")
    if to != "read":
        writing_side(person, row)
    return row


def get_load(person: Person, pk: int) -> Load:
    """Return a load of a placing day that a person may see."""
    row = Load.objects.select_related("placing_day__pavement__site").filter(pk=pk).first()
    if row is None:
        raise Http404("No such load.")
    row.placing_day = get_placing_day(person, row.placing_day_id)
    return row


def may_write(person: Person, row: PlacingDay) -> bool:
    """Say whether a person's side still writes in a placing day."""
    rights = rights_at(person, row.pavement)
    return rights.organisation_for("record_placing") is not None and not _is_closed(row, rights)


def writing_side(person: Person, row: PlacingDay) -> Organisation:
    """Return the contractor for whom a person writes in a placing day."""
    rights = rights_at(person, row.pavement)
    side = rights.organisation_for("record_placing")
    if side is None:
        raise PermissionDenied("Only the contractor who placed it writes the placing record.")
    if _is_closed(row, rights):
        raise PermissionDenied(
            "This day was handed over. It is corrected by lines, and nothing is added to it."
        )
    return side


def correcting_side(person: Person, row: PlacingDay) -> Organisation:
    """Return the side that corrects a placing day by lines: the contractor, for ever."""
    rights = rights_at(person, row.pavement)
    own = (s for s in rights.seats if s.role == Role.CONTRACTOR)
    side = next((s.organisation for s in own), None)
    if side is None or row.entered_for_id not in (None, side.pk):
        raise PermissionDenied("Only the side that wrote this entry may correct it.")
    return side


def sees_inside(person: Person, row: PlacingDay) -> bool:
    """Say whether crew by task may be shown: to the side that wrote the day, and to no other."""
    own = {s.organisation_id for s in rights_at(person, row.pavement).seats}
    return row.entered_for_id is not None and row.entered_for_id in own


def _is_closed(row: PlacingDay, rights: Rights) -> bool:
    if row.repair_id is not None:
        return row.repair is not None and row.repair.state == "accepted"
    rows = HandOver.objects.in_effect(rights.at)
    rows = rows.filter(pavement=row.pavement_id, is_first=True)
    return rows.filter(Q(giver=row.entered_for_id) if row.entered_for_id else ~NOTHING).exists()


def visible_lots(person: Person, pavement: Pavement) -> EntryQuerySet:
    """Return the lots of a pavement: the acceptance part, which a municipality reads too."""
    rights = rights_at(person, pavement)
    readers = READERS_OF_ALL | {Role.CONTRACTOR, Role.MUNICIPALITY}
    rows = Lot.objects.filter(pavement=pavement)
    if rights.roles & readers or any(s.role == Role.CONTRACTOR for s in rights.seats):
        return rows
    if rights.past_until is not None:
        return rows.filter(entered_at__lt=rights.past_until)
    return rows.filter(entered_for__in=rights.organisations)


def visible_cores(person: Person, pavement: Pavement) -> EntryQuerySet:
    """Return the cores of a pavement: a contractor sees its own and those of its callbacks."""
    rights = rights_at(person, pavement)
    rows = Core.objects.filter(pavement=pavement)
    if rights.roles & READERS_OF_ALL:
        return rows
    own = contractors(rights)
    shown = Q(entered_for__in=rights.organisations) | Q(callback__contractor__in=own)
    if own or Role.MUNICIPALITY in rights.roles:
        shown |= Q(callback__isnull=True)
    if rights.past_until is not None:
        shown |= Q(entered_at__lt=rights.past_until)
    return rows.filter(shown)


def visible_raveled_shares(person: Person, pavement: Pavement) -> RaveledShareQuerySet:
    """Return the raveled shares of a pavement.

    A contractor sees them while its warranty runs or its callback is open, and up to the day on
    which a callback of its closed for ever.
    """
    rights = rights_at(person, pavement)
    rows = RaveledShare.objects.filter(pavement=pavement)
    if rights.roles & READERS_OF_ALL:
        return rows
    shown = Q(entered_for__in=rights.organisations)
    if rights.past_until is not None:
        shown |= Q(entered_at__lt=rights.past_until)
    own = contractors(rights)
    if own:
        shown |= _of_callbacks(own)
    for seat in rights.open_seats:
        last = seat.warranty_last_on
        if seat.role == Role.CONTRACTOR and last is not None and rights.today <= last:
            shown |= ~NOTHING
    return rows.filter(shown)


def _of_callbacks(own: set[int]) -> Q:
    """Return the condition of shares while a callback is open, or up to its last move."""
    there = {"contractor__in": own, "pavement": OuterRef("pavement")}
    opened = Callback.objects.open().filter(**there)
    moved = CallbackMove.objects.filter(
        callback__in=Callback.objects.standing().filter(contractor__in=own),
        callback__pavement=OuterRef("pavement"),
        on__gte=OuterRef("looked_on"),
    )
    return Q(Exists(opened)) | Q(Exists(moved))


def days_placed_by(organisation: Organisation) -> PlacingDayQuerySet:
    """Return the placing days that a contractor wrote, at all pavements of its seats, past or not.

    Crew by task may be shown with them: they are that side's own. Ask `get_organisation` first.
    """
    held = Seat.objects.begun_by(timezone.now()).filter(organisation=organisation)
    rows: PlacingDayQuerySet = PlacingDay.objects.filter(
        entered_for=organisation,
        pavement__in=held.values("pavement"),
        pavement__void_at__isnull=True,
    )
    return rows.standing()


def raveled_shares_seen_by(organisation: Organisation) -> RaveledShareQuerySet:
    """Return the raveled shares of all pavements that one side sees as contractor there."""
    held = Seat.objects.held_at(timezone.now()).filter(
        organisation=organisation, pavement=OuterRef("pavement")
    )
    covers = Q(role=Role.CONTRACTOR, warranty_last_on__gte=timezone.localdate())
    shown = Q(entered_for=organisation) | _of_callbacks({organisation.pk})
    shown |= Q(Exists(held.filter(covers | Q(role__in=READERS_OF_ALL))))
    return RaveledShare.objects.filter(shown)


def contractors(rights: Rights) -> set[int]:
    """Return the organisations for which seats as contractor are or were held."""
    return {s.organisation_id for s in rights.seats if s.role == Role.CONTRACTOR}
