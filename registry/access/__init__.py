"""Who may see and change what: the only door from a person to rows.

What is not visible is 404; visible but not allowed is 403. Rights follow from seats: what a
person's organisations are, or were, to a pavement. A seat has an end; after it the holder keeps
a copy of its own period and writes nothing. A contractor's, tester's, sweeper's or evaluator's
seat shows less than an owner's, and says so here alone.
"""

from collections.abc import Callable, Collection
from datetime import datetime
from typing import TypeVar
from zoneinfo import ZoneInfo

from django.core.exceptions import PermissionDenied
from django.db.models import Exists, OuterRef, Q, QuerySet
from django.http import Http404
from django.shortcuts import get_object_or_404
from django.utils import timezone

from registry.access.holding import (
    all_seats_at,
)
from registry.access.holding import (
    all_visible_pavements as all_visible_pavements,
)
from registry.access.holding import (
    numbers_of as numbers_of,
)
from registry.access.holding import (
    open_roles as open_roles,
)
from registry.access.holding import (
    pavements_held_as as pavements_held_as,
)
from registry.access.holding import (
    reads_all as reads_all,
)
from registry.access.holding import (
    rights_at as rights_at,
)
from registry.access.holding import (
    seats_of as seats_of,
)
from registry.access.holding import (
    sees as sees,
)
from registry.access.holding import (
    sides_of as sides_of,
)
from registry.access.holding import (
    visible_pavements as visible_pavements,
)
from registry.access.journal import (
    visible_journal as visible_journal,
)
from registry.access.outlooks import (
    find_outlook as find_outlook,
)
from registry.access.outlooks import (
    get_fit as get_fit,
)
from registry.access.outlooks import (
    get_outlook as get_outlook,
)
from registry.access.outlooks import (
    get_place_to_end as get_place_to_end,
)
from registry.access.outlooks import (
    get_pool as get_pool,
)
from registry.access.outlooks import (
    place_and_way_in as place_and_way_in,
)
from registry.access.outlooks import (
    pools_to_join as pools_to_join,
)
from registry.access.outlooks import (
    seen_outlooks as seen_outlooks,
)
from registry.access.outlooks import (
    visible_places as visible_places,
)
from registry.access.outlooks import (
    visible_pools as visible_pools,
)
from registry.access.people import (
    find_invitation as find_invitation,
)
from registry.access.people import (
    get_invitation as get_invitation,
)
from registry.access.people import (
    get_membership as get_membership,
)
from registry.access.people import (
    get_organisation as get_organisation,
)
from registry.access.people import (
    is_known as is_known,
)
from registry.access.people import (
    may_invite as may_invite,
)
from registry.access.people import (
    members_of as members_of,
)
from registry.access.people import (
    memberships_of as memberships_of,
)
from registry.access.people import (
    open_invitations as open_invitations,
)
from registry.access.people import (
    organisations_of as organisations_of,
)
from registry.access.prices import (
    may_see_prices as may_see_prices,
)
from registry.access.prices import (
    with_prices_hidden as with_prices_hidden,
)
from registry.access.veiled import veiled_tests
from registry.models import (
    Cleaning,
    ImportBatch,
    InfiltrationTest,
    JournalLine,
    Organisation,
    Pavement,
    PavementStanding,
    Person,
    Ring,
    Seat,
    Section,
    Site,
)
from registry.models.choices import Role
from registry.models.cleaning import CleaningQuerySet
from registry.models.entry import Entry
from registry.models.infiltration_test import InfiltrationTestQuerySet
from registry.models.pavement import PavementQuerySet, PavementStandingQuerySet
from registry.models.rights import KEEPERS as KEEPERS
from registry.models.rights import MAY as MAY
from registry.models.rights import READERS_OF_ALL
from registry.models.sight import cleanings_shown, tests_shown


def seen_standings(
    person: Person, roles: Collection[str], among: Collection[int] | None = None
) -> PavementStandingQuerySet:
    """Return stored conditions, one a pavement: the holder's where all is read, else the town's.

    `roles` is what `open_roles` gives; where it leaves one viewpoint out, it is not asked for.
    `among`, ids of pavements, leaves all others out before any seat is looked at.
    """
    rows = PavementStanding.objects.all()
    if among is not None:
        rows = rows.filter(pavement__in=among)
    readers = pavements_held_as(person, READERS_OF_ALL, among).values("pk")
    as_holder = Q(viewpoint="holder", pavement__in=readers)
    if Role.MUNICIPALITY not in roles:
        return rows.filter(as_holder)
    reviewed = pavements_held_as(person, {Role.MUNICIPALITY}, among).values("pk")
    as_town = Q(viewpoint="town", pavement__in=reviewed)
    if not READERS_OF_ALL & set(roles):
        return rows.filter(as_town)
    return rows.filter(as_holder | (as_town & ~Q(pavement__in=readers)))


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
    return _acting(person, pavement, what) is not None


def acting_organisation(person: Person, pavement: Pavement, what: str) -> Organisation:
    """Return the organisation for which a person does a thing at a pavement."""
    organisation = _acting(person, pavement, what)
    if organisation is None:
        raise PermissionDenied("Your seat at this pavement does not allow this.")
    return organisation


def _acting(person: Person, pavement: Pavement, what: str) -> Organisation | None:
    rights = rights_at(person, pavement)
    organisation = rights.organisation_for(what)
    if organisation is None and what == "set_criteria":
        held = (s for s in all_seats_at(person, pavement) if s.is_held_at(rights.at))
        if all(seat.role != Role.MUNICIPALITY for seat in held):  # nobody reviews it
            return rights.organisation_for("edit")
    return organisation


def viewpoint_of(person: Person, pavement: Pavement) -> str | None:
    """Return "holder", "town" or None: from which readings a condition may be shown."""
    return rights_at(person, pavement).viewpoint


def with_condition_hidden_where_due(
    person: Person, pavements: PavementQuerySet
) -> PavementQuerySet:
    """Add `may_see_condition` to each row: false where the seat reads no tests."""
    held = seats_of(person).held_at(timezone.now())
    readers = held.filter(role__in=READERS_OF_ALL | {Role.MUNICIPALITY})
    return pavements.annotate(may_see_condition=Exists(readers.filter(pavement=OuterRef("pk"))))


def visible_tests(person: Person, pavement: Pavement) -> InfiltrationTestQuerySet:
    """Return the infiltration tests of a pavement that a person may see.

    What their doubts tell of entries that the person does not see is left out of them.
    """
    rights = rights_at(person, pavement)
    rows = InfiltrationTest.objects.filter(pavement=pavement)
    if rights.roles & READERS_OF_ALL:
        return rows
    shown = rows.filter(tests_shown(rights, ZoneInfo(pavement.site.time_zone)))
    return veiled_tests(pavement, shown, visible_cleanings(person, pavement))


def visible_cleanings(person: Person, pavement: Pavement) -> CleaningQuerySet:
    """Return the cleanings of a pavement that a person may see."""
    rights = rights_at(person, pavement)
    rows = Cleaning.objects.filter(pavement=pavement)
    if rights.roles & READERS_OF_ALL:
        return rows
    return rows.filter(cleanings_shown(rights, ZoneInfo(pavement.site.time_zone)))


def get_test(person: Person, pk: int, *, to: str = "read") -> InfiltrationTest:
    """Return an infiltration test; `to="correct"` asks that the person's side wrote it."""
    row = InfiltrationTest.objects.select_related("pavement__site", "spot").filter(pk=pk).first()
    if row is not None and not reads_all(person, row.pavement):
        shown = visible_tests(person, row.pavement).select_related("pavement__site", "spot")
        row = (shown if to == "read" else shown.unveiled()).filter(pk=pk).first()
    if row is None:
        raise Http404("No such infiltration test.")
    return _readable(person, row, to)


def get_cleaning(person: Person, pk: int, *, to: str = "read") -> Cleaning:
    """Return a cleaning; `to="correct"` asks that the person's side wrote it."""
    rows = Cleaning.objects.select_related("pavement__site", "swept_with")
    row = rows.filter(pk=pk).first()
    if row is None or not _is_among(visible_cleanings, person, row):
        raise Http404("No such cleaning.")
    return _readable(person, row, to)


Record = TypeVar("Record", InfiltrationTest, Cleaning)


def _is_among(
    visible: Callable[[Person, Pavement], QuerySet[Record]], person: Person, row: Record
) -> bool:
    if reads_all(person, row.pavement):
        return True
    return visible(person, row.pavement).filter(pk=row.pk).exists()


def _readable(person: Person, row: Record, to: str) -> Record:
    if not sees(person, row.pavement):
        raise Http404("No such pavement.")
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


def visible_rings(person: Person) -> QuerySet[Ring]:
    """Return the rings of the person's organisations."""
    return Ring.objects.standing().filter(organisation__in=organisations_of(person))


def visible_lines_about(person: Person, row: Entry) -> list[JournalLine]:
    """Return the journal of a record the person may see; both sides see every correction."""
    lines = JournalLine.objects.about(row).select_related("by", "by_organisation")
    return with_prices_hidden(person, lines, about=row)


def may_see_criteria(person: Person, pavement: Pavement) -> bool:
    """Say whether design criteria may be shown; a tester or sweeper sees the plan alone."""
    return rights_at(person, pavement).sees_criteria


def visible_seats(person: Person, pavement: Pavement) -> list[Seat]:
    """Return the seats at a pavement that the person may know of, open ones first.

    Owner and manager see all. Others do not see a buyer in view nor what is to begin; who holds
    no seat any more does not see what began after its end.
    """
    if not sees(person, pavement):
        raise Http404("No such pavement.")
    seats = sorted(all_seats_at(person, pavement), key=_open_first)
    rights = rights_at(person, pavement)
    if rights.roles & KEEPERS:
        return seats
    until = rights.last_end or rights.at
    return [
        seat
        for seat in seats
        if seat.organisation_id in rights.organisations
        or (seat.role != Role.BUYER and seat.from_at < until)
    ]


def _open_first(seat: Seat) -> tuple[bool, datetime, datetime, int]:
    return seat.to_at is not None, seat.to_at or seat.from_at, seat.from_at, seat.pk


def get_seat(person: Person, pk: int, *, to: str = "read") -> Seat:
    """Return a seat the person may know of; `to="end"` asks that they give such or hold it."""
    seat = Seat.objects.select_related("pavement__site", "organisation").filter(pk=pk).first()
    if seat is None or seat not in visible_seats(person, seat.pavement):
        raise Http404("No such seat.")
    if to == "end" and rights_at(person, seat.pavement).ending(seat) is None:
        raise PermissionDenied("Your seat at this pavement does not allow this.")
    return seat


def known_organisations(person: Person) -> QuerySet[Organisation]:
    """Return the organisations that hold seats where the person manages, and their own."""
    there = Q(seats__pavement__in=pavements_held_as(person, KEEPERS))
    return Organisation.objects.filter(there | Q(pk__in=organisations_of(person))).distinct()


def own_sections(person: Person, pavement: Pavement) -> frozenset[int] | None:
    """Return the ids of the sections that a contractor may know of, who holds seats at sections
    alone; None where a seat is at the whole.
    """
    seats = rights_at(person, pavement).open_seats
    if not seats or any(s.role != Role.CONTRACTOR or s.section_id is None for s in seats):
        return None
    return frozenset(s.section_id for s in seats if s.section_id is not None)


def visible_sections(person: Person, pavement: Pavement) -> QuerySet[Section]:
    """Return sections of a pavement; a contractor with a section's seat sees its own."""
    rows = Section.objects.filter(pavement=pavement).standing()
    own = own_sections(person, pavement)
    return rows if own is None else rows.filter(pk__in=own)


def visible_sites(person: Person) -> QuerySet[Site]:
    """Return sites where the person's organisations hold a seat now, and their own.

    A former holder keeps its copy of a pavement's record, not the way through today's gate.
    """
    there = pavements_held_as(person, MAY["read"]).values("site")
    return Site.objects.filter(Q(pk__in=there) | Q(pk__in=own_sites(person).values("pk")))


def own_sites(person: Person) -> QuerySet[Site]:
    """Return sites entered for the person's organisations, unless all on it was sold since."""
    kept = pavements_held_as(person, KEEPERS).values("site")
    own = Site.objects.filter(organisation__in=organisations_of(person))
    return own.filter(Q(pk__in=kept) | Q(pavements__isnull=True))


def get_site(person: Person, pk: int) -> Site:
    """Return a site the person may see."""
    return get_object_or_404(visible_sites(person), pk=pk)


def visible_batches(person: Person) -> QuerySet[ImportBatch]:
    """Return spreadsheets brought in for the person's organisations."""
    return ImportBatch.objects.filter(organisation__in=organisations_of(person))


def get_batch(person: Person, pk: int) -> ImportBatch:
    """Return a batch of one of the person's organisations."""
    return get_object_or_404(visible_batches(person).select_related("organisation"), pk=pk)
