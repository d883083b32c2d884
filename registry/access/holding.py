"""What a person's organisations hold: seats, the pavements at them, and what may be done there."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils import timezone

from registry.models import Membership, Organisation, Pavement, PavementNumber, Person, Seat
from registry.models.choices import Role
from registry.models.pavement import PavementQuerySet
from registry.models.rights import MAY, READERS_OF_ALL, Rights, rights_of
from registry.models.seat import SeatQuerySet
from registry.once import kept


def organisations_of(person: Person, at: datetime | None = None) -> QuerySet:
    """Return the ids of a person's organisations, to be a part of another question."""
    members = Membership.objects.current(at=at or timezone.now()).filter(person=person)
    return members.values("organisation")


def seats_of(person: Person, at: datetime | None = None) -> SeatQuerySet:
    """Return the seats of a person's organisations, past ones included."""
    at = at or timezone.now()
    return Seat.objects.of_organisations(organisations_of(person, at)).begun_by(at)


def of_own_side(person: Person, at: str = "pavement") -> Q:
    """Return the condition that a side of the person's wrote a row, and has or had a seat there.

    at  the column of the row that leads to its pavement
    """
    # Few rows are one's own, so the seat is asked for second; by all three columns an index finds
    # it at once, where a side holds seats by the thousand.
    there = {"pavement": OuterRef(at), "organisation": OuterRef("entered_for")}
    seats = seats_of(person).filter(**there, role__in=Role.values)
    return Q(entered_for__in=organisations_of(person)) & Q(Exists(seats))


def visible_pavements(person: Person, at: datetime | None = None) -> PavementQuerySet:
    """Return pavements at which the person's organisations hold or held a seat that reads.

    Seats are looked up pavement by pavement: quickest for a few. See `all_visible_pavements`.
    """
    seats = seats_of(person, at).filter(role__in=MAY["read"])
    seen = Exists(seats.filter(pavement=OuterRef("pk")))
    return Pavement.objects.filter(seen, void_at__isnull=True)


def all_visible_pavements(person: Person) -> PavementQuerySet:
    """Return the rows of `visible_pavements`, found from all seats at once: quickest for a list."""
    seats = seats_of(person).filter(role__in=MAY["read"])
    return Pavement.objects.filter(pk__in=seats.values("pavement"), void_at__isnull=True)


@dataclass(frozen=True)
class Sides:
    """What a person's organisations are now, by their seats.

    names           of the organisations, in order
    roles           held now at whatever pavement
    has_pavements   whether a pavement can be seen through a seat held now or before
    """

    names: tuple[str, ...]
    roles: frozenset[str]
    has_pavements: bool


def sides_of(person: Person, at: datetime | None = None) -> Sides:
    """Return what a person's organisations are at an instant (now), by one query.

    Each role is looked for by itself, since an index then finds one seat of thousands.
    """
    at = at or timezone.now()
    members = Membership.objects.current(at=at).filter(person=person)
    seats = Seat.objects.filter(organisation=OuterRef("pk"))
    holds = {role: Exists(seats.held_at(at).filter(role=role)) for role in Role.values}
    reads = seats.begun_by(at).filter(role__in=MAY["read"], pavement__void_at__isnull=True)
    rows = Organisation.objects.filter(pk__in=members.values("organisation"))
    found = list(
        rows.order_by("name", "pk")
        .annotate(**{f"holds_{role}": seat for role, seat in holds.items()})
        .annotate(reads=Exists(reads))
    )
    return Sides(
        names=tuple(row.name for row in found),
        roles=frozenset(r for r in Role.values if any(getattr(row, f"holds_{r}") for row in found)),
        has_pavements=any(row.reads for row in found),
    )


def open_roles(person: Person) -> frozenset[str]:
    """Return the roles that a person's organisations hold now, at whatever pavement."""
    return sides_of(person).roles


def numbers_of(
    person: Person, pavement: Pavement
) -> tuple[list[PavementNumber], list[PavementNumber]]:
    """Return the numbers of a pavement: those of the person's organisations, and all others."""
    members = Membership.objects.current(at=timezone.now()).filter(person=person)
    own = Exists(members.filter(organisation=OuterRef("organisation")))
    rows = pavement.numbers.filter(is_taken_back=False).select_related("organisation")
    found = list(rows.annotate(is_own=own))
    return [n for n in found if n.is_own], [n for n in found if not n.is_own]


def pavements_held_as(
    person: Person, roles: Collection[str], among: Collection[int] | None = None
) -> QuerySet[Pavement]:
    """Return pavements that carry on at which the person's organisations hold a role now.

    `among`, ids of pavements, leaves all others out before any seat is looked at.
    """
    held = seats_of(person).held_at(timezone.now()).filter(role__in=roles)
    rows = Pavement.objects.counted_once().filter(void_at=None)
    if among is not None:
        held, rows = held.filter(pavement__in=among), rows.filter(pk__in=among)
    return rows.filter(pk__in=held.values("pavement"))


def rights_at(person: Person, pavement: Pavement, at: datetime | None = None) -> Rights:
    """Return what a person may do at a pavement, at an instant or now."""
    if at is not None:
        return _rights_from(_seats_at(person, pavement, at), pavement, at)
    return kept(
        ("rights", person.pk, pavement.pk),
        lambda: _rights_from(all_seats_at(person, pavement), pavement, timezone.now()),
    )


def rights_among(person: Person, pavements: Iterable[Pavement]) -> dict[int, Rights]:
    """Return what a person may do at each of some pavements now, by one question for all."""
    found = {pavement.pk: pavement for pavement in pavements}
    if len(found) == 1:
        return {pk: rights_at(person, pavement) for pk, pavement in found.items()}
    at = timezone.now()
    seats: dict[int, list[Seat]] = {pk: [] for pk in found}
    for seat in seats_of(person, at).filter(pavement__in=found).order_by("pk"):
        seat.is_own = True  # type: ignore[attr-defined]
        seats[seat.pavement_id].append(seat)
    return {pk: _rights_from(seats[pk], pavement, at) for pk, pavement in found.items()}


def sees(person: Person, pavement: Pavement) -> bool:
    """Say whether a pavement is one of `visible_pavements`, from the rights there."""
    return may_be_seen(pavement, rights_at(person, pavement))


def may_be_seen(pavement: Pavement, rights: Rights) -> bool:
    """Say whether a pavement is shown to who has these rights there."""
    return pavement.void_at is None and any(seat.role in MAY["read"] for seat in rights.seats)


def reads_all(person: Person, pavement: Pavement) -> bool:
    """Say whether a person reads all of a pavement's record, so that no row need be asked for."""
    return bool(rights_at(person, pavement).roles & READERS_OF_ALL)


def _rights_from(seats: Iterable[Seat], pavement: Pavement, at: datetime) -> Rights:
    own = (seat for seat in seats if seat.is_own)  # type: ignore[attr-defined]
    return rights_of([seat for seat in own if seat.has_begun_by(at)], pavement, at)


def all_seats_at(person: Person, pavement: Pavement) -> tuple[Seat, ...]:
    """Return every seat at a pavement, whoever holds it; what a person may know of is less."""
    return kept(
        ("seats", person.pk, pavement.pk),
        lambda: _seats_at(person, pavement, timezone.now()),
    )


def _seats_at(person: Person, pavement: Pavement, at: datetime) -> tuple[Seat, ...]:
    """Return the seats at a pavement with `is_own`: held by an organisation of the person."""
    members = Membership.objects.current(at=at).filter(person=person)
    own = Exists(members.filter(organisation=OuterRef("organisation")))
    rows = Seat.objects.filter(pavement=pavement).select_related("organisation", "section")
    return tuple(rows.annotate(is_own=own).order_by("pk"))
