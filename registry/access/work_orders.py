"""Who sees work orders and who moves them.

Owner and manager read all of their pavement, and so do buyer and evaluator; a sweeper its own
orders; a municipality what was submitted; a contractor none. Prices: see `access.prices`.
"""

from django.core.exceptions import PermissionDenied
from django.db.models import Q, QuerySet
from django.http import Http404

from registry.access.holding import pavements_held_as, reads_all, rights_at, sees
from registry.access.people import organisations_of
from registry.models import (
    Crew,
    DumpPlace,
    Machine,
    Organisation,
    Pavement,
    Person,
    PrintedSheet,
    SheetCopy,
    SheetKind,
    WaterPoint,
    WorkOrder,
)
from registry.models.choices import Role
from registry.models.rights import KEEPERS, MAY, READERS_OF_ALL, Rights
from registry.models.seat import Seat
from registry.models.sight import orders_shown, shows_order
from registry.models.work_order import WorkOrderQuerySet

OF_A_SWEEPER = frozenset({"dated", "done", "in_part", "turned_away", "called_off", "billed"})
"""States to which a sweeper may move its own orders; all moves are its keepers'."""


def visible_work_orders(person: Person, pavement: Pavement) -> WorkOrderQuerySet:
    """Return the work orders of a pavement that a person may see."""
    rights = rights_at(person, pavement)
    rows = WorkOrder.objects.filter(pavement=pavement)
    if rights.roles & READERS_OF_ALL:
        return rows
    return rows.filter(orders_shown(rights))


def all_visible_work_orders(person: Person) -> WorkOrderQuerySet:
    """Return the work orders a person may see over the pavements where a seat is held now."""
    readers = pavements_held_as(person, READERS_OF_ALL).values("pk")
    reviewed = pavements_held_as(person, {Role.MUNICIPALITY}).values("pk")
    held = pavements_held_as(person, MAY["read"]).values("pk")
    own = organisations_of(person).values("pk")
    sides = Q(organisation__in=own) | Q(sweeper__in=own) | Q(entered_for__in=own)
    shown = Q(pavement__in=readers) | Q(pavement__in=reviewed, submitted_on__isnull=False)
    return WorkOrder.objects.filter(shown | (sides & Q(pavement__in=held)))


def get_work_order(person: Person, pk: int, *, to: str = "read") -> WorkOrder:
    """Return a work order.

    `to` may be "keep" (approve, check, correct: its keepers), or "work" (date it, write down what
    became of it: its keepers and its sweeper).
    """
    rows = WorkOrder.objects.select_related(
        "pavement__site", "organisation", "sweeper", "entered_for", "crew__machine",
        "dump_place", "water_point",
    )  # fmt: skip
    row = rows.filter(pk=pk).first()
    if row is None or not (
        reads_all(person, row.pavement) or shows_order(rights_at(person, row.pavement), row)
    ):
        raise Http404("No such work order.")
    if not sees(person, row.pavement):
        raise Http404("No such pavement.")
    if to != "read" and acting_side(rights_at(person, row.pavement), row, to) is None:
        raise PermissionDenied("Your seat at this pavement does not allow this.")
    return row


def order_of_sheet(person: Person, sheet: PrintedSheet) -> WorkOrder | None:
    """Return the order that a sheet was printed for, where the person may write what became of it.

    None for a sheet printed blank, and where two orders bear the number.
    """
    number = sheet.content.get("order")
    if sheet.kind != SheetKind.SWEEP or sheet.pavement is None or not number:
        return None
    rows = visible_work_orders(person, sheet.pavement).standing().filter(number=number)
    found = list(rows.select_related("pavement__site", "sweeper", "organisation", "crew")[:2])
    if len(found) != 1:
        return None
    side = acting_side(rights_at(person, sheet.pavement), found[0], "work")
    return found[0] if side is not None else None


def copies_of_order_sheet(person: Person, sheet: PrintedSheet) -> list[SheetCopy]:
    """Return the copies of a work order's sheet: of an order one sees, or of one's own side."""
    shown = Q(copied_for__in=organisations_of(person).values("pk"))
    if sheet.pavement is not None:
        orders = visible_work_orders(person, sheet.pavement)
        shown |= Q(cleaning__work_order__in=orders.values("pk"))
    rows = sheet.copies.filter(shown).select_related("cleaning", "visit", "copied_by", "sheet")
    return list(rows)


def acting_side(rights: Rights, row: WorkOrder, to: str) -> Organisation | None:
    """Return the organisation through which rights do a thing to an order: "keep" or "work"."""
    keeper = rights.organisation_for("order_cleaning")
    if keeper is not None or to == "keep":
        return keeper
    own = (s for s in rights.open_seats if _is_sweeper_of(s, row))
    return None if rights.is_split else next((s.organisation for s in own), None)


def acting_for(person: Person, row: WorkOrder, to_state: str) -> Organisation:
    """Return the organisation for which a person moves an order to a state, back included."""
    to = "work" if to_state in OF_A_SWEEPER else "keep"
    side = acting_side(rights_at(person, row.pavement), row, to)
    if side is None:
        raise PermissionDenied("Only the keepers of the pavement move an order there.")
    return side


def _is_sweeper_of(seat: Seat, row: WorkOrder) -> bool:
    return seat.role == Role.SWEEPER and seat.organisation_id == row.sweeper_id


def sweepers_of(pavement: Pavement, rights: Rights) -> QuerySet[Organisation]:
    """Return the firms an order may be given to: those with a seat to sweep, and the keepers."""
    seats = Seat.objects.held_at(rights.at).filter(pavement=pavement)
    seats = seats.filter(role__in=KEEPERS | {Role.SWEEPER})
    return Organisation.objects.filter(pk__in=seats.values("organisation"))


def crews_to_choose(person: Person, pavement: Pavement) -> QuerySet[Crew]:
    """Return the crews that an order at a pavement may be given to: of firms that may sweep it."""
    firms = sweepers_of(pavement, rights_at(person, pavement))
    rows = Crew.objects.standing().filter(organisation__in=firms.values("pk"))
    return rows.select_related("organisation", "machine")


def machines_to_choose(person: Person, pavement: Pavement) -> QuerySet[Machine]:
    """Return the machines of the firms that may sweep a pavement."""
    firms = sweepers_of(pavement, rights_at(person, pavement))
    return Machine.objects.standing().filter(organisation__in=firms.values("pk"))


def dump_places_to_choose(person: Person, pavement: Pavement) -> QuerySet[DumpPlace]:
    """Return the dump places of the firms that may sweep a pavement."""
    firms = sweepers_of(pavement, rights_at(person, pavement))
    return DumpPlace.objects.standing().filter(organisation__in=firms.values("pk"))


def water_points_to_choose(person: Person, pavement: Pavement) -> QuerySet[WaterPoint]:
    """Return the water points of the firms that may sweep a pavement."""
    firms = sweepers_of(pavement, rights_at(person, pavement))
    return WaterPoint.objects.standing().filter(organisation__in=firms.values("pk"))
