"""Who may see and change what: the only door from a person to rows.

What is not visible is 404; visible but not allowed is 403. Rights follow from seats: what a
person's organisations are, or were, to a pavement. A seat has an end; after it the holder keeps
a copy of its own period and writes nothing. A contractor's, tester's, sweeper's or evaluator's
seat shows less than an owner's, and says so here alone.
"""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime
from typing import TypeVar
from zoneinfo import ZoneInfo

from django.core.exceptions import PermissionDenied
from django.db.models import Exists, OuterRef, Q, QuerySet
from django.http import Http404
from django.utils import timezone

from registry.models import (
    Cleaning,
    ImportBatch,
    InfiltrationTest,
    JournalLine,
    Membership,
    Organisation,
    Pavement,
    PavementStanding,
    Person,
    PrintedSheet,
    Ring,
    Seat,
    Section,
    Site,
)
from registry.models.choices import Role
from registry.models.cleaning import CleaningQuerySet
from registry.models.infiltration_test import InfiltrationTestQuerySet
from registry.models.seat import SeatQuerySet

READERS_OF_ALL = frozenset({Role.OWNER, Role.MANAGER, Role.BUYER, Role.EVALUATOR})
"""Roles that read every test and cleaning of the pavement."""

MAY: dict[str, frozenset[str]] = {
    "read": frozenset(Role.values) - {Role.PRODUCER},
    "edit": frozenset({Role.OWNER, Role.MANAGER}),
    "record_test": frozenset({Role.MANAGER, Role.TESTER, Role.MUNICIPALITY, Role.OWNER}),
    "record_cleaning": frozenset({Role.MANAGER, Role.SWEEPER, Role.OWNER}),
    "record_acceptance": frozenset({Role.CONTRACTOR}),
    "set_criteria": frozenset({Role.MUNICIPALITY}),
    "set_condition": frozenset({Role.OWNER, Role.MANAGER, Role.MUNICIPALITY}),
    "submit": frozenset({Role.OWNER, Role.MANAGER}),
    "sell": frozenset({Role.OWNER, Role.MUNICIPALITY}),
    "appoint": frozenset({Role.OWNER, Role.MANAGER}),
    "print": frozenset({Role.OWNER, Role.MANAGER, Role.TESTER, Role.MUNICIPALITY, Role.CONTRACTOR}),
}
"""Who may do what at a pavement, by role of an open seat. A criteria set of a pavement that no
municipality reviews is its owner's or manager's to write (see `may`)."""


@dataclass(frozen=True)
class Rights:
    """What a person may do at one pavement: the seats they hold now and held before."""

    seats: tuple[Seat, ...]
    at: datetime

    @property
    def open_seats(self) -> tuple[Seat, ...]:
        """Return the seats held now."""
        return tuple(s for s in self.seats if s.is_held_at(self.at))

    @property
    def roles(self) -> frozenset[str]:
        """Return the roles held now."""
        return frozenset(s.role for s in self.open_seats)

    @property
    def past_until(self) -> datetime | None:
        """Return the end of the latest seat as owner or manager where none is open."""
        if self.roles & READERS_OF_ALL:
            return None
        ends = [s.to_at for s in self.seats if s.to_at and s.role in READERS_OF_ALL]
        return max(ends, default=None)

    def may(self, what: str) -> bool:
        """Say whether an open seat allows it."""
        return bool(self.roles & MAY[what])

    def organisation_for(self, what: str) -> Organisation | None:
        """Return the organisation through whose seat it is allowed."""
        for seat in self.open_seats:
            if seat.role in MAY[what]:
                return seat.organisation
        return None


def organisations_of(person: Person, at: datetime | None = None) -> QuerySet[Organisation]:
    """Return the organisations a person works for at an instant (now)."""
    members = Membership.objects.current(at=at or timezone.now()).filter(person=person)
    return Organisation.objects.filter(pk__in=members.values("organisation"))


def get_organisation(person: Person, pk: int, *, to: str = "read") -> Organisation:
    """Return an organisation the person belongs to; `to="invite"` asks for that right too."""
    organisation = organisations_of(person).filter(pk=pk).first()
    if organisation is None:
        raise Http404("No such organisation.")
    if to == "invite" and not _may_invite(person, organisation):
        raise PermissionDenied("You may not invite people into this organisation.")
    return organisation


def _may_invite(person: Person, organisation: Organisation) -> bool:
    current = Membership.objects.current(at=timezone.now())
    return current.filter(person=person, organisation=organisation, may_invite=True).exists()


def seats_of(person: Person, at: datetime | None = None) -> SeatQuerySet:
    """Return the seats of a person's organisations, past ones included."""
    at = at or timezone.now()
    return Seat.objects.of_organisations(organisations_of(person, at)).begun_by(at)


def visible_pavements(person: Person, at: datetime | None = None) -> QuerySet[Pavement]:
    """Return pavements at which the person's organisations hold or held a seat that reads."""
    seats = seats_of(person, at).filter(role__in=MAY["read"])
    return Pavement.objects.filter(Exists(seats.filter(pavement=OuterRef("pk")))).filter(
        void_at__isnull=True
    )


def open_roles(person: Person) -> frozenset[str]:
    """Return the roles that a person's organisations hold now, at whatever pavement."""
    held = seats_of(person).held_at(timezone.now())
    return frozenset(held.values_list("role", flat=True).distinct())


def pavements_held_as(person: Person, roles: Collection[str]) -> QuerySet[Pavement]:
    """Return pavements at which the person's organisations hold one of the roles now."""
    held = seats_of(person).held_at(timezone.now()).filter(role__in=roles)
    return Pavement.objects.filter(pk__in=held.values("pavement"), void_at__isnull=True)


def seen_standings(person: Person, roles: Collection[str]) -> QuerySet[PavementStanding]:
    """Return stored conditions, one a pavement: the holder's where all is read, else the town's.

    `roles` is what `open_roles` gives; where it leaves one viewpoint out, it is not asked for.
    """
    readers = pavements_held_as(person, READERS_OF_ALL).values("pk")
    as_holder = Q(viewpoint="holder", pavement__in=readers)
    if Role.MUNICIPALITY not in roles:
        return PavementStanding.objects.filter(as_holder)
    reviewed = pavements_held_as(person, {Role.MUNICIPALITY}).values("pk")
    as_town = Q(viewpoint="town", pavement__in=reviewed)
    if not READERS_OF_ALL & set(roles):
        return PavementStanding.objects.filter(as_town)
    return PavementStanding.objects.filter(as_holder | (as_town & ~Q(pavement__in=readers)))


def rights_at(person: Person, pavement: Pavement, at: datetime | None = None) -> Rights:
    """Return what a person may do at a pavement."""
    at = at or timezone.now()
    seats = seats_of(person, at).filter(pavement=pavement).select_related("organisation")
    return Rights(seats=tuple(seats.order_by("pk")), at=at)


def get_pavement(person: Person, pk: int, *, to: str = "read") -> Pavement:
    """Return a pavement the person may see and do `to` at (a key of MAY)."""
    pavement = visible_pavements(person).select_related("site").filter(pk=pk).first()
    if pavement is None:
        raise Http404("No such pavement.")
    if to != "read" and not may(person, pavement, to):
        raise PermissionDenied("Your seat at this pavement does not allow this.")
    return pavement


def may(person: Person, pavement: Pavement, what: str) -> bool:
    """Say whether a person may do a thing at a pavement now."""
    rights = rights_at(person, pavement)
    if rights.may(what):
        return True
    return what == "set_criteria" and rights.may("edit") and not _is_reviewed(pavement)


def _is_reviewed(pavement: Pavement) -> bool:
    held = Seat.objects.held_at(timezone.now())
    return held.filter(pavement=pavement, role=Role.MUNICIPALITY).exists()


def acting_organisation(person: Person, pavement: Pavement, what: str) -> Organisation:
    """Return the organisation for which a person does a thing at a pavement."""
    rights = rights_at(person, pavement)
    organisation = rights.organisation_for(what)
    if organisation is None and what == "set_criteria" and not _is_reviewed(pavement):
        organisation = rights.organisation_for("edit")
    if organisation is None:
        raise PermissionDenied("Your seat at this pavement does not allow this.")
    return organisation


def viewpoint_of(person: Person, pavement: Pavement) -> str | None:
    """Return "holder", "town" or None: from which readings a condition may be shown."""
    roles = rights_at(person, pavement).roles
    if roles & READERS_OF_ALL:
        return "holder"
    return "town" if Role.MUNICIPALITY in roles else None


def list_viewpoint_of(person: Person) -> str:
    """Return the viewpoint of a person's lists: a municipality's own, else the holders'."""
    seats = seats_of(person).held_at(timezone.now())
    if seats.filter(role__in=READERS_OF_ALL).exists():
        return "holder"
    return "town"


def with_condition_hidden_where_due(
    person: Person, pavements: QuerySet[Pavement]
) -> QuerySet[Pavement]:
    """Add `may_see_condition` to each row: false where the seat reads no tests."""
    held = seats_of(person).held_at(timezone.now())
    readers = held.filter(role__in=READERS_OF_ALL | {Role.MUNICIPALITY})
    return pavements.annotate(
        may_see_condition=Exists(readers.filter(pavement=OuterRef("pk"))),
        reads_all=Exists(held.filter(pavement=OuterRef("pk"), role__in=READERS_OF_ALL)),
    )


def visible_tests(person: Person, pavement: Pavement) -> InfiltrationTestQuerySet:
    """Return the infiltration tests of a pavement that a person may see."""
    rights = rights_at(person, pavement)
    rows = InfiltrationTest.objects.filter(pavement=pavement)
    if rights.roles & READERS_OF_ALL:
        return rows
    return rows.filter(_shown_by_seats(rights, pavement, "started_on"))


def visible_cleanings(person: Person, pavement: Pavement) -> CleaningQuerySet:
    """Return the cleanings of a pavement that a person may see."""
    rights = rights_at(person, pavement)
    rows = Cleaning.objects.filter(pavement=pavement)
    if rights.roles & READERS_OF_ALL:
        return rows
    return rows.filter(_shown_by_seats(rights, pavement, "done_on"))


def _shown_by_seats(rights: Rights, pavement: Pavement, day_field: str) -> Q:
    """Return the condition under which seats that do not read all show a dated record."""
    own = {seat.organisation_id for seat in rights.seats}
    shown = Q(entered_for__in=own)
    zone = ZoneInfo(pavement.site.time_zone)
    if rights.past_until is not None:
        shown |= Q(**{f"{day_field}__lte": rights.past_until.astimezone(zone).date()})
    if Role.MUNICIPALITY in rights.roles:
        shown |= Q(submitted_on__isnull=False)
    if day_field == "started_on":
        for seat in rights.open_seats:
            shown |= _shown_to_contractor(seat, rights.at.astimezone(zone).date())
    return shown


def _shown_to_contractor(seat: Seat, today: date) -> Q:
    """Acceptance tests for ever; later tests of its sections only while its warranty runs."""
    nothing = Q(pk__in=())
    if seat.role != Role.CONTRACTOR:
        return nothing
    sections = Q(spot__panel__section=seat.section) if seat.section_id else Q()
    shown = Q(reason="acceptance") & sections
    if seat.warranty_last_on is not None and today <= seat.warranty_last_on:
        shown |= sections if sections else Q(pk__gt=0)
    return shown


def get_test(person: Person, pk: int, *, to: str = "read") -> InfiltrationTest:
    """Return an infiltration test; `to="correct"` asks that the person's side wrote it."""
    row = InfiltrationTest.objects.select_related("pavement__site", "spot").filter(pk=pk).first()
    if row is None or not visible_tests(person, row.pavement).filter(pk=pk).exists():
        raise Http404("No such infiltration test.")
    return _readable(person, row, to)


def get_cleaning(person: Person, pk: int, *, to: str = "read") -> Cleaning:
    """Return a cleaning; `to="correct"` asks that the person's side wrote it."""
    row = Cleaning.objects.select_related("pavement__site").filter(pk=pk).first()
    if row is None or not visible_cleanings(person, row.pavement).filter(pk=pk).exists():
        raise Http404("No such cleaning.")
    return _readable(person, row, to)


Record = TypeVar("Record", InfiltrationTest, Cleaning)


def _readable(person: Person, row: Record, to: str) -> Record:
    get_pavement(person, row.pavement_id)
    if to == "correct" and not is_author(person, row):
        raise PermissionDenied("Only the side that wrote this entry may correct it.")
    return row


def is_author(person: Person, row: InfiltrationTest | Cleaning) -> bool:
    """Say whether a person's side wrote an entry and still holds a seat."""
    own = {s.organisation_id for s in rights_at(person, row.pavement).open_seats}
    return row.entered_for_id in own


def get_pavement_to_test(person: Person, pk: int) -> tuple[Pavement, str]:
    """Return a pavement at which the person may record a test, and by which right.

    A contractor records acceptance tests alone.
    """
    pavement = get_pavement(person, pk)
    for right in ("record_test", "record_acceptance"):
        if may(person, pavement, right):
            return pavement, right
    raise PermissionDenied("Your seat at this pavement does not allow this.")


def may_see_prices(person: Person, row: Cleaning) -> bool:
    """Say whether prices may be shown: a price is its writer's own, a seller's not the buyer's."""
    own = {s.organisation_id for s in rights_at(person, row.pavement).seats}
    return row.entered_for_id in own


def visible_rings(person: Person) -> QuerySet[Ring]:
    """Return the rings of the person's organisations."""
    return Ring.objects.standing().filter(organisation__in=organisations_of(person))


def visible_lines_about(person: Person, row: InfiltrationTest | Cleaning) -> QuerySet[JournalLine]:
    """Return the journal of a record the person may see; both sides see every correction."""
    return JournalLine.objects.about(row).select_related("by", "by_organisation")


def visible_journal(person: Person, pavement: Pavement) -> QuerySet[JournalLine]:
    """Return journal lines of a pavement: all to those who read all, else one's own side's."""
    lines = JournalLine.objects.filter(pavement=pavement).select_related("by", "by_organisation")
    rights = rights_at(person, pavement)
    if rights.roles & READERS_OF_ALL:
        return lines
    own = {s.organisation_id for s in rights.seats}
    return lines.filter(by_organisation__in=own)


def visible_seats(person: Person, pavement: Pavement) -> QuerySet[Seat]:
    """Return the seats at a pavement; everybody who sees the pavement sees who sits there."""
    get_pavement(person, pavement.pk)
    return Seat.objects.filter(pavement=pavement).select_related("organisation", "section")


def visible_sections(person: Person, pavement: Pavement) -> QuerySet[Section]:
    """Return sections of a pavement; a contractor with a section's seat sees its own."""
    rows = Section.objects.filter(pavement=pavement).standing()
    seats = rights_at(person, pavement).open_seats
    if seats and all(s.role == Role.CONTRACTOR and s.section_id for s in seats):
        return rows.filter(pk__in=[s.section_id for s in seats])
    return rows


def visible_sites(person: Person) -> QuerySet[Site]:
    """Return sites of visible pavements and of the person's own organisations."""
    return Site.objects.filter(
        Q(pavements__in=visible_pavements(person)) | Q(organisation__in=organisations_of(person))
    ).distinct()


def get_site(person: Person, pk: int) -> Site:
    """Return a site the person may see."""
    site = visible_sites(person).filter(pk=pk).first()
    if site is None:
        raise Http404("No such site.")
    return site


def visible_batches(person: Person) -> QuerySet[ImportBatch]:
    """Return spreadsheets brought in for the person's organisations."""
    return ImportBatch.objects.filter(organisation__in=organisations_of(person))


def get_batch(person: Person, pk: int) -> ImportBatch:
    """Return a batch of one of the person's organisations."""
    batch = visible_batches(person).select_related("organisation").filter(pk=pk).first()
    if batch is None:
        raise Http404("No such spreadsheet.")
    return batch


def get_sheet(person: Person, number: str) -> PrintedSheet:
    """Return a printed sheet by its number: its pavement must be visible, or it one's own."""
    sheet = PrintedSheet.objects.select_related("pavement__site").filter(number=number).first()
    if sheet is None:
        raise Http404("No such sheet.")
    if sheet.pavement_id is not None:
        get_pavement(person, sheet.pavement_id)
    elif sheet.printed_by_id != person.pk:
        raise Http404("No such sheet.")
    return sheet
