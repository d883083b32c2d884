"""Next steps of callbacks and orders, and sources of dirt to stop: rows by one question, and lines.

An order is its keepers' to approve, to date and to check, and its sweeper's to date and to do.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Case, F, Q, QuerySet, Value, When

from registry.gathering.need import Need, days_to
from registry.gathering.needed_rows import AHEAD, MOST, Held
from registry.models import Callback, DirtSource, Step, WorkOrder
from registry.models.callback import STATES, CallbackQuerySet
from registry.models.choices import Role
from registry.models.rights import KEEPERS
from registry.models.work_order import WorkOrderQuerySet
from registry.placing.claim_moves import OFFERS_SETTLEMENT

CLAIM, DIRT, ORDER = 1, 2, 3
KINDS_OF_DIRT = dict(DirtSource._meta.get_field("kind").flatchoices)
TO_DATE = ("approved", "in_part", "turned_away", "called_off", "to_redo")
OF_ORDERS = {
    "asked_for": ("Approve order {}", "It was asked for and is not approved."),
    "approved": ("Give order {} a day", "It is approved and has no day."),
    "dated": ("Sweep by order {}", "Dated for this day; then write down what became of it."),
    "in_part": ("Order {}: date the rest, or check it", "It was done in part."),
    "turned_away": ("Order {}: date it again, or drop it", "The crew was turned away."),
    "called_off": ("Order {}: date it again, or drop it", "The day was called off."),
    "to_redo": ("Order {}: date it again", "It is to be redone."),
    "done": ("Check order {}", "It was swept; look or test, then accept it or have it redone."),
}
"""State of an order -> what it needs, and why."""


@dataclass(frozen=True)
class Asked:
    """A row as the one question gives it.

    code       the step of a callback, kind of a source, state of an order
    text       the number of a callback or order; who can stop a source
    state      of a callback
    first_on   due; a source: seen
    second_on  the day a notice counts from; a source: asked to stop
    """

    part: int
    row_id: int
    pavement_id: int
    pavement_name: str
    site_name: str
    time_zone: str
    code: str
    text: str
    state: str
    first_on: date | None
    second_on: date | None


def steps_of(held: Held, at: datetime) -> tuple[list[Asked], list[Asked], list[Asked]]:
    """Return callbacks, sources of dirt and orders that need one's own side, the first of each."""
    where = ("pavement_id", "pavement__name", "pavement__site__name", "pavement__site__time_zone")
    claims, dirt, orders = _claims(held, at), _dirt(held), _orders(held, at)
    none = Value("")
    parts = [
        _marked(claims, CLAIM).values_list(
            "part", "pk", *where, "next_step", "number", "state", "next_due_on", "counted_on"
        ),
        _marked(dirt.annotate(no_state=none), DIRT).values_list(
            "part", "pk", *where, "kind", "who_can_stop_it", "no_state", "seen_on", "asked_on"
        ),
        _marked(orders.annotate(no_state=none), ORDER).values_list(
            "part", "pk", *where, "state", "number", "no_state", "by_on", "asked_on"
        ),
    ]
    both = parts[0].union(*parts[1:], all=True)
    found = sorted((Asked(*row) for row in both), key=_soonest_first)
    claims_, dirt_, orders_ = ([r for r in found if r.part == p] for p in (CLAIM, DIRT, ORDER))
    return claims_, dirt_, orders_


def _marked(rows: QuerySet[Any], part: int) -> QuerySet[Any]:
    return rows.order_by().annotate(part=Value(part))


def _soonest_first(row: Asked) -> tuple[int, date, int]:
    return row.part, row.first_on or date.max, row.row_id


def _first(rows: QuerySet[Any], *order: Any) -> Q:
    return Q(pk__in=rows.order_by(*order, "pk").values("pk")[: MOST + 1])


def _claims(held: Held, at: datetime) -> CallbackQuerySet:
    """Callbacks whose next step is one's own and due; those of one's sides without any such day."""
    own = Q(contractor__in=held.organisations)
    due = own & Q(next_side__in=("contractor", "both"))
    mine, named = own, Q(pk__in=())
    if held.roles & KEEPERS:
        due |= Q(pavement__in=held.kept, next_side__in=("owner", "both"))
        mine |= Q(pavement__in=held.kept)
    if Role.EVALUATOR in held.roles:
        seats = held.own_seats.filter(role=Role.EVALUATOR)
        named = Q(pavement__in=seats.values("pavement"), state="evaluator_named")
    soon = due & Q(next_due_on__lte=at.date() + AHEAD)
    to_sign = Q(state=OFFERS_SETTLEMENT)
    undated = mine & Q(next_due_on=None) & ~to_sign
    rows = Callback.objects.open().filter(soon | undated | due & to_sign | named)
    return Callback.objects.filter(_first(rows, F("next_due_on").asc(nulls_last=True)))


def _dirt(held: Held) -> QuerySet[DirtSource]:
    if not held.roles & KEEPERS:
        return DirtSource.objects.none()
    rows = DirtSource.objects.open().filter(pavement__in=held.kept)
    return DirtSource.objects.filter(_first(rows))


def _orders(held: Held, at: datetime) -> WorkOrderQuerySet:
    by_on = Case(
        When(state="dated", then=F("dated_for")), When(state__in=TO_DATE, then=F("latest_on"))
    )
    rows = WorkOrder.objects.standing().annotate(by_on=by_on)
    mine = Q(pk__in=())
    if held.roles & KEEPERS:
        mine |= Q(pavement__in=held.kept, state__in=OF_ORDERS)
    if Role.SWEEPER in held.roles:
        seats = held.own_seats.filter(role=Role.SWEEPER)
        given = Q(sweeper__in=held.organisations, pavement__in=seats.values("pavement"))
        mine |= given & Q(state__in=(*TO_DATE, "dated"))
    soon = Q(by_on=None) | Q(by_on__lte=at.date() + AHEAD)
    found = rows.filter(mine, soon)
    return rows.filter(_first(found, F("by_on").asc(nulls_last=True)))


def claim_needs(rows: Iterable[Asked], at: datetime) -> Iterator[Need]:
    """Yield what a side has to do next in a callback, by its terms."""
    for row in rows:
        what = f"Callback {row.text}"
        why = f"It is {STATES[row.state]}; no step has a day by the terms."
        if row.state == OFFERS_SETTLEMENT:
            what = f"{what}: sign the settlement, or take it back into the dispute"
            why = "One side signed it; it ends the dispute once the other side signs it too."
        if row.first_on is not None:
            what = f"{what}: {Step(row.code).label}"
            counted = f"; notice counts from {row.second_on:%Y-%m-%d}" if row.second_on else ""
            why = f"Due by the terms of the warranty{counted}."
        yield _need(what, why, row, kind="claim", at=at, page="callback_page")


def order_needs(rows: Iterable[Asked], at: datetime) -> Iterator[Need]:
    """Yield what an order needs of its keepers or of who sweeps."""
    for row in rows:
        what, why = OF_ORDERS[row.code]
        yield _need(what.format(row.text), why, row, kind="order", at=at, page="work_order_page")


def dirt_needs(rows: Iterable[Asked]) -> Iterator[Need]:
    """Yield sources of dirt that nobody stopped."""
    for row in rows:
        seen = f" seen {row.first_on:%Y-%m-%d}" if row.first_on else ""
        asked = f", asked to stop {row.second_on:%Y-%m-%d}" if row.second_on else ", not asked yet"
        who = f" Who can stop it: {row.text}." if row.text else ""
        word = str(KINDS_OF_DIRT[row.code]).capitalize()
        yield _need("Stop a source of dirt", f"{word}{seen}{asked}.{who}", row, kind="dirt")


def _need(
    what: str, why: str, row: Asked, *, kind: str, at: datetime | None = None, page: str = ""
) -> Need:
    on = None if at is None else row.first_on
    return Need(
        what=what,
        why=why,
        pavement_name=row.pavement_name,
        site_name=row.site_name,
        row_id=row.pavement_id,
        kind=kind,
        by_on=on,
        by_words="no date" if on is None else "",
        days=days_to(on, at, row.time_zone),
        page=page,
        page_id=row.row_id,
    )
