"""Enter a sale: from the hour of the deed on, other organisations hold the seats."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils import timezone

from registry.actions.grant_seat import Term, grant_seat
from registry.actions.queue_work import queue_outlooks
from registry.actions.refresh_dues import refresh_dues
from registry.actions.refresh_standing import refresh_standings
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.open_items import OpenItem, open_items
from registry.models import DirtSource, Organisation, Pavement, PavementState, Person, Seat
from registry.models.choices import Role

END_WITH_OWNER = frozenset({Role.MANAGER, Role.TESTER, Role.SWEEPER})
"""Seats the seller gave: they end with its own unless the buyer gives them anew."""


class CannotSell(DomainError):
    """Nobody owns the pavement at that hour, another sale stands in the way, or an item is open."""


@dataclass(frozen=True)
class Deed:
    """What the deed says. `at` is the instant from which the buyer owns; it may lie in the past
    (entered late) or in the future."""

    buyer: Organisation
    at: datetime
    document: str


@dataclass(frozen=True)
class Decision:
    """What becomes of one open item, and who answers for it."""

    is_taken_over: bool
    who: str


@transaction.atomic
def sell_pavement(
    *,
    pavement: Pavement,
    deed: Deed,
    kept: Collection[int] = (),
    decisions: Mapping[str, Decision],
    by: Person | None,
    organisation: Organisation | None,
) -> Seat:
    """Move the seats at the deed's hour and return the buyer's.

    Owners' seats end and the buyer's begins; those the seller gave end, but for the ids in
    `kept`, which the buyer gives anew; a buyer in view has come to an end; contractor,
    municipality and evaluator stay, and no last day of warranty moves.
    """
    pavement = Pavement.objects.held().select_related("site").get(pk=pavement.pk)
    seats = list(Seat.objects.filter(pavement=pavement).select_related("organisation"))
    sellers = _sellers(seats, deed, pavement)
    _settle(pavement, decisions, deed, by, organisation)
    for seat in seats:
        if seat in sellers or seat.role == Role.BUYER:
            _end(seat, deed.at, by, organisation)
        elif seat.role in END_WITH_OWNER:
            _end_or_renew(seat, deed, seat.pk in kept, by, organisation)
    changes = {"owner": [", ".join(str(s.organisation) for s in sellers), str(deed.buyer)]}
    why = f"{deed.document}; from {_clock(deed.at, pavement)} local time"
    write_line(pavement, "sold", by=by, organisation=organisation, changes=changes, why=why)
    _tell_contractors(seats, deed, pavement, by, organisation)
    seat = _seat_buyer(pavement, deed, by)
    refresh_standings([pavement.pk])
    refresh_dues([pavement.pk])
    queue_outlooks(deed.buyer.pk)
    return seat


def _sellers(seats: Iterable[Seat], deed: Deed, pavement: Pavement) -> list[Seat]:
    """Return the owners' seats that end: those held at the hour, the buyer's own share apart."""
    owners = [s for s in seats if s.role == Role.OWNER and s.to_at != s.from_at]
    for seat in owners:
        ends_later = seat.to_at is not None and seat.to_at > deed.at
        if seat.from_at >= deed.at or ends_later:
            until = f" until {_clock(seat.to_at, pavement)}" if seat.to_at else ""
            raise CannotSell(
                f"{seat.organisation} is entered as owner from {_clock(seat.from_at, pavement)}"
                f"{until}. A sale at or before that hour cannot be entered any more."
            )
    held = [s for s in owners if s.is_held_at(deed.at)]
    if not held:
        raise CannotSell("Nobody owns this pavement at that hour, so nobody can sell it.")
    sellers = [s for s in held if s.organisation_id != deed.buyer.pk]
    if not sellers:
        raise CannotSell(f"{deed.buyer} owns it already.")
    return sellers


def _end(seat: Seat, at: datetime, by: Person | None, organisation: Organisation | None) -> bool:
    """End a seat at an instant; one that begins later never was. False where it ended before."""
    if seat.to_at is not None and seat.to_at <= at:
        return False
    seat.to_at = max(at, seat.from_at)
    seat.save(update_fields=["to_at"])
    write_line(seat, "seat ended", by=by, organisation=organisation, why="sale")
    return True


def _end_or_renew(
    seat: Seat,
    deed: Deed,
    is_kept: bool,
    by: Person | None,
    organisation: Organisation | None,
) -> None:
    planned_end = seat.to_at
    if _end(seat, deed.at, by, organisation) and is_kept:
        term = Term(
            role=seat.role,
            from_at=max(deed.at, seat.from_at),
            to_at=planned_end,
            section=seat.section,
            source_document=deed.document,
        )
        renewed = grant_seat(
            pavement=seat.pavement, organisation=seat.organisation, term=term, by=by
        )
        Seat.objects.filter(pk=renewed.pk).update(appointed_by=deed.buyer)


def _seat_buyer(pavement: Pavement, deed: Deed, by: Person | None) -> Seat:
    """Give the buyer the owner's seat, and one at the pavement that this is a part of."""
    parent = pavement.parent
    if parent is not None and parent.state == PavementState.SPLIT:
        _seat_buyer(parent, deed, by)
    own = Seat.objects.filter(pavement=pavement, organisation=deed.buyer, role=Role.OWNER)
    held = own.held_at(deed.at).first()
    if held is not None:
        return held
    term = Term(role=Role.OWNER, from_at=deed.at, source_document=deed.document)
    return grant_seat(pavement=pavement, organisation=deed.buyer, term=term, by=by)


def _tell_contractors(
    seats: Iterable[Seat],
    deed: Deed,
    pavement: Pavement,
    by: Person | None,
    organisation: Organisation | None,
) -> None:
    """Write down that each contractor whose warranty may run is to be told of the transfer."""
    day = _local(deed.at, pavement).date()
    for seat in seats:
        last = seat.warranty_last_on
        if seat.role == Role.CONTRACTOR and seat.is_held_at(deed.at) and (not last or last >= day):
            until = f"last day of warranty unchanged, {last}" if last else "last day not known"
            why = f"transfer notice to be sent to {seat.organisation}; {until}"
            write_line(seat, "transfer notice due", by=by, organisation=organisation, why=why)


def _settle(
    pavement: Pavement,
    decisions: Mapping[str, Decision],
    deed: Deed,
    by: Person | None,
    organisation: Organisation | None,
) -> None:
    """Take over or end each open item by name; none may be left out."""
    for item in open_items(pavement):
        decision = decisions.get(item.key)
        if decision is None or not decision.who.strip():
            raise CannotSell(f"“{item.what}” is open: say who takes it over or ends it.")
        if not decision.is_taken_over:
            _end_item(item, deed, pavement)
        verb = "taken over" if decision.is_taken_over else "ended"
        what = item.what.removesuffix(".")  # a line of the timeline puts its own
        why = f"by {decision.who}, at the sale to {deed.buyer}: {what}"
        write_line(item.row, verb, by=by, organisation=organisation, why=_cut(why))


def _end_item(item: OpenItem, deed: Deed, pavement: Pavement) -> None:
    if not item.ending:
        raise CannotSell(f"“{item.what}” can only be taken over; it ends by an answer.")
    if isinstance(item.row, DirtSource):
        item.row.stopped_on = _local(timezone.now(), pavement).date()
        item.row.save(update_fields=["stopped_on"])
        return
    item.row.state = "not_done"
    item.row.not_done_why = _cut(f"called off at the sale to {deed.buyer}", 200)
    item.row.save(update_fields=["state", "not_done_why"])


def _local(at: datetime, pavement: Pavement) -> datetime:
    return at.astimezone(ZoneInfo(pavement.site.time_zone))


def _clock(at: datetime, pavement: Pavement) -> str:
    return f"{_local(at, pavement):%Y-%m-%d %H:%M}"


def _cut(text: str, most: int = 300) -> str:
    """Shorten what we wrote ourselves; what a person wrote is never cut."""
    return text if len(text) <= most else text[: most - 1] + "…"
