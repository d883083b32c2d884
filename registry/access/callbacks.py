"""Who sees warranties, callbacks, winter logs, repairs and hand-overs, and who writes in them.

Owner and manager read the notices, findings and answers of their pavement and act for the owner's
side; the contractor those it has to answer, for ever, and acts for its own; an evaluator reads and
reports; a buyer in view reads those that are open; a municipality what was submitted; a tester or
sweeper none. Notes kept inside are their own organisation's alone.
"""

from django.core.exceptions import PermissionDenied
from django.db.models import Exists, OuterRef, Q, QuerySet
from django.http import Http404

from registry.access.holding import pavements_held_as, rights_at, sees
from registry.access.people import organisations_of
from registry.models import (
    Callback,
    CallbackNote,
    HandOver,
    Organisation,
    Pavement,
    Person,
    Repair,
    Warranty,
    WinterEntry,
)
from registry.models.callback import CallbackQuerySet
from registry.models.choices import Role
from registry.models.hand_over import HandOverQuerySet
from registry.models.repair import RepairQuerySet
from registry.models.rights import KEEPERS, MAY, Rights
from registry.models.seat import Seat
from registry.models.sight import attached
from registry.models.warranty import WarrantyQuerySet
from registry.models.winter_entry import WinterEntryQuerySet
from registry.placing.claim_moves import (
    ENDED,
    ENDS_DISPUTE,
    IN_DISPUTE,
    OFFERS_SETTLEMENT,
    undoes_dispute,
)

NOTHING = Q(pk__in=())
OF_THE_OWNERS_SIDE = frozenset({"agreed", "disputed", "silent", "withdrawn"})
OF_EITHER_SIDE = frozenset(
    {
        "evaluator_named", OFFERS_SETTLEMENT, "settled", "remedy_dated", "closed", "in_court",
        "ruled", "visit_set", "visited",
    }
)  # fmt: skip
OF_THE_EVALUATOR = frozenset({"reported"})
"""States to which each side moves a callback; all others are the contractor's."""

DOERS: dict[str, tuple[str, ...]] = {
    "answer": ("contractor",),
    "claim": ("owner",),
    "report": ("evaluator",),
    "settle": ("contractor", "owner"),
    "find": ("contractor", "evaluator"),
    "add": ("contractor", "owner", "evaluator"),
}
"""Which sides do what in a callback."""


def callbacks_shown(rights: Rights) -> Q:
    """Return the condition under which seats at a pavement show a callback there."""
    roles, shown = rights.roles, NOTHING
    if roles & (KEEPERS | {Role.EVALUATOR}):
        return ~NOTHING
    contractors = [s.organisation_id for s in rights.seats if s.role == Role.CONTRACTOR]
    if contractors:
        shown |= Q(contractor__in=contractors)
    if Role.BUYER in roles:
        shown |= ~Q(state__in=ENDED)
    if Role.MUNICIPALITY in roles:
        shown |= Q(submitted_on__isnull=False)
    if rights.past_until is not None:
        shown |= Q(entered_at__lt=rights.past_until)
    return shown


def visible_callbacks(person: Person, pavement: Pavement) -> CallbackQuerySet:
    """Return the callbacks of a pavement that a person may see."""
    rows = Callback.objects.filter(pavement=pavement)
    return rows.filter(callbacks_shown(rights_at(person, pavement)))


def all_visible_callbacks(person: Person) -> CallbackQuerySet:
    """Return the callbacks a person may see over the pavements where a seat is held now."""
    held = pavements_held_as(person, MAY["read"]).values("pk")
    readers = pavements_held_as(person, KEEPERS | {Role.EVALUATOR}).values("pk")
    buyers = pavements_held_as(person, {Role.BUYER}).values("pk")
    reviewed = pavements_held_as(person, {Role.MUNICIPALITY}).values("pk")
    own = organisations_of(person).values("pk")
    shown = Q(pavement__in=readers) | Q(pavement__in=held, contractor__in=own)
    shown |= Q(pavement__in=buyers) & ~Q(state__in=ENDED)
    shown |= Q(pavement__in=reviewed, submitted_on__isnull=False)
    return Callback.objects.filter(shown)


def placing_organisations(person: Person) -> QuerySet[Organisation]:
    """Return the person's organisations that hold or held a seat as contractor."""
    seats = Seat.objects.filter(role=Role.CONTRACTOR, organisation=OuterRef("pk"))
    return organisations_of(person).filter(Exists(seats)).order_by("name", "pk")


def callbacks_answered_by(organisation: Organisation) -> CallbackQuerySet:
    """Return the callbacks that a contractor has or had to answer. Ask `get_organisation` first."""
    held = Seat.objects.filter(organisation=organisation, role=Role.CONTRACTOR)
    rows: CallbackQuerySet = Callback.objects.filter(
        contractor=organisation,
        pavement__in=held.values("pavement"),
        pavement__void_at__isnull=True,
    )
    return rows.standing()


def get_callback(person: Person, pk: int, *, to: str = "read") -> Callback:
    """Return a callback.

    `to` is a key of DOERS, and asks for one of the sides named there.
    """
    rows = Callback.objects.select_related(
        "pavement__site", "contractor", "claimed_for", "warranty__holiday_list"
    )
    row = rows.filter(pk=pk).first()
    if row is None or not sees(person, row.pavement):
        raise Http404("No such callback.")
    if not visible_callbacks(person, row.pavement).filter(pk=pk).exists():
        raise Http404("No such callback.")
    if to != "read" and acting_side(rights_at(person, row.pavement), row, to) is None:
        raise PermissionDenied("Your seat at this pavement does not allow this.")
    return row


def acting_side(rights: Rights, row: Callback, to: str) -> Organisation | None:
    """Return the organisation through which rights do a thing (a key of DOERS), or None."""
    sides = {
        "contractor": lambda: _contractor(rights, row),
        "owner": lambda: _held_as(rights, KEEPERS),
        "evaluator": lambda: _held_as(rights, {Role.EVALUATOR}),
    }
    return next((found for name in DOERS[to] if (found := sides[name]()) is not None), None)


def _contractor(rights: Rights, row: Callback) -> Organisation | None:
    """Its contractor answers, even after its seat has ended with the warranty."""
    own = (s for s in rights.seats if s.role == Role.CONTRACTOR)
    return next((s.organisation for s in own if s.organisation_id == row.contractor_id), None)


def _held_as(rights: Rights, roles: frozenset[str] | set[str]) -> Organisation | None:
    if rights.is_split:
        return None
    return next((s.organisation for s in rights.open_seats if s.role in roles), None)


def side_to_move(rights: Rights, row: Callback, to_state: str) -> Organisation | None:
    """Return the organisation through which rights move a callback to a state, back included.

    Back out of a dispute moves the side that brought it there, and no other. A settlement that one
    side signed ends the dispute by the other's signature; either side takes it back into it.
    """
    if undoes_dispute(row.state, to_state):
        return _side_that_disputed(rights, row)
    if row.state == OFFERS_SETTLEMENT and to_state == ENDS_DISPUTE:
        return _side_yet_to_sign(rights, row)
    if row.state == OFFERS_SETTLEMENT and to_state in IN_DISPUTE:
        return acting_side(rights, row, "settle")
    if to_state in OF_THE_OWNERS_SIDE:
        return acting_side(rights, row, "claim")
    if to_state in OF_EITHER_SIDE:
        return acting_side(rights, row, "settle")
    if to_state in OF_THE_EVALUATOR:
        return acting_side(rights, row, "report") or acting_side(rights, row, "settle")
    return acting_side(rights, row, "answer")


def _side_that_disputed(rights: Rights, row: Callback) -> Organisation | None:
    """Return the side of the move that led into the dispute; the owner's where none is kept."""
    entered = row.moves.filter(to_state__in=IN_DISPUTE).exclude(from_state__in=IN_DISPUTE)
    last = entered.order_by("at", "pk").last()
    if row.state == "in_court":
        last = row.moves.filter(to_state="in_court").order_by("at", "pk").last()
    own = acting_side(rights, row, "settle")
    if last is None or last.by_organisation_id is None:
        return acting_side(rights, row, "claim")
    return own if own is not None and own.pk == last.by_organisation_id else None


def _side_yet_to_sign(rights: Rights, row: Callback) -> Organisation | None:
    first = row.moves.filter(to_state=OFFERS_SETTLEMENT).order_by("at", "pk").last()
    own = acting_side(rights, row, "settle")
    if first is None or own is None or not row.is_other_side(first.by_organisation_id, own):
        return None
    return own


def visible_notes(person: Person, row: Callback) -> QuerySet[CallbackNote]:
    """Return the notes of a callback one sees: what is shared, and those of one's own inside."""
    own = organisations_of(person).values("pk")
    return row.notes.filter(Q(inside_of__isnull=True) | Q(inside_of__in=own))


def visible_warranties(person: Person, pavement: Pavement) -> WarrantyQuerySet:
    """Return the warranties of a pavement that a person may see.

    A contractor sees those it gave; whoever reads or reviews the pavement all but a municipality.
    """
    rights = rights_at(person, pavement)
    rows = Warranty.objects.filter(pavement=pavement)
    if rights.roles & (KEEPERS | {Role.EVALUATOR, Role.BUYER}):
        return rows
    own = [s.organisation_id for s in rights.seats if s.role == Role.CONTRACTOR]
    shown = Q(contractor__in=own)
    if rights.past_until is not None:
        shown |= Q(entered_at__lt=rights.past_until)
    return rows.filter(shown)


def get_warranty(person: Person, pk: int, *, to: str = "read") -> Warranty:
    """Return a warranty; `to="write"` asks for the side of its contractor or of the owner."""
    rows = Warranty.objects.select_related("pavement__site", "contractor", "owner", "holiday_list")
    row = rows.filter(pk=pk).first()
    if row is None or not sees(person, row.pavement):
        raise Http404("No such warranty.")
    if not visible_warranties(person, row.pavement).filter(pk=pk).exists():
        raise Http404("No such warranty.")
    if to != "read" and warranty_side(rights_at(person, row.pavement), row) is None:
        raise PermissionDenied("Your seat at this pavement does not allow this.")
    return row


def warranty_side(rights: Rights, row: Warranty) -> Organisation | None:
    """Return the organisation through which the terms are written: contractor or keeper."""
    own = (s for s in rights.seats if s.role == Role.CONTRACTOR)
    by = next((s.organisation for s in own if s.organisation_id == row.contractor_id), None)
    return by or _held_as(rights, KEEPERS)


def contractor_seat(person: Person, pavement: Pavement) -> Seat | None:
    """Return a seat as contractor that a person's side holds or held at a pavement."""
    seats = rights_at(person, pavement).seats
    return next((s for s in seats if s.role == Role.CONTRACTOR), None)


def visible_winter_log(person: Person, pavement: Pavement) -> WinterEntryQuerySet:
    """Return the lines of the winter log: all to who reads all, to a contractor what is attached.

    Whoever wrote a line sees it.
    """
    rights = rights_at(person, pavement)
    rows = WinterEntry.objects.filter(pavement=pavement)
    if rights.roles & (KEEPERS | {Role.EVALUATOR, Role.BUYER}):
        return rows
    shown = Q(entered_for__in=rights.organisations) | attached(rights, "winter_entry")
    if Role.MUNICIPALITY in rights.roles:
        shown |= Q(submitted_on__isnull=False)
    if rights.past_until is not None:
        shown |= Q(entered_at__lt=rights.past_until)
    return rows.filter(shown)


def visible_repairs(person: Person, pavement: Pavement) -> RepairQuerySet:
    """Return the repairs of a pavement: a contractor sees those of callbacks it answers."""
    rights = rights_at(person, pavement)
    rows = Repair.objects.filter(pavement=pavement)
    if rights.roles & (KEEPERS | {Role.EVALUATOR, Role.BUYER}):
        return rows
    own = [s.organisation_id for s in rights.seats if s.role == Role.CONTRACTOR]
    shown = Q(entered_for__in=rights.organisations) | Q(callback__contractor__in=own)
    if Role.MUNICIPALITY in rights.roles:
        shown |= Q(callback__isnull=True) | Q(callback__submitted_on__isnull=False)
    if rights.past_until is not None:
        shown |= Q(entered_at__lt=rights.past_until)
    return rows.filter(shown)


def hand_over_side(rights: Rights, row: HandOver, to_state: str) -> Organisation | None:
    """Return giver or taker, through whom rights move a certificate to a state, or None."""
    own = rights.organisations
    giver = row.giver if row.giver_id in own else None
    taker = row.taker if row.taker_id in own else None
    if to_state == "in_effect":
        return giver or taker
    return taker if to_state in ("taker", "contested") else giver


def takers_of(person: Person, pavement: Pavement) -> QuerySet[Organisation]:
    """Return the organisations to which a pavement may be handed over: owners and buyers there."""
    roles = (Role.OWNER, Role.MANAGER, Role.BUYER, Role.MUNICIPALITY)
    seats = Seat.objects.filter(pavement=pavement, role__in=roles)
    return Organisation.objects.filter(pk__in=seats.values("organisation"))


def visible_hand_overs(person: Person, pavement: Pavement) -> HandOverQuerySet:
    """Return the certificates of a pavement: giver's, taker's, and those its keepers read."""
    rows = HandOver.objects.filter(pavement=pavement)
    return rows.filter(hand_overs_shown(rights_at(person, pavement)))


def hand_overs_shown(rights: Rights) -> Q:
    """Return the condition under which seats at a pavement show a certificate there."""
    if rights.roles & (KEEPERS | {Role.EVALUATOR, Role.BUYER}):
        return ~NOTHING
    own = rights.organisations
    return Q(giver__in=own) | Q(taker__in=own) | Q(entered_for__in=own)
