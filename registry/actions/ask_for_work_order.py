"""Ask for a work order: what is to be swept, how, and by when."""

from collections.abc import Iterable, Sequence

from django.db import transaction
from django.utils import timezone

from registry.actions.add_entry import SET_BY_ACTIONS
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import (
    OrderedPanel,
    Organisation,
    Panel,
    Person,
    Spot,
    WorkOrder,
    WorkOrderMove,
)


class CannotOrder(DomainError):
    """The order names what is not on its pavement, or no row of it."""


@transaction.atomic
def ask_for_work_order(
    row: WorkOrder,
    *,
    by: Person | None,
    organisation: Organisation,
    panels: Iterable[Panel] = (),
    twice: Iterable[Panel] = (),
    before_spots: Iterable[Spot] = (),
    after_spots: Iterable[Spot] = (),
) -> WorkOrder:
    """Store an order that was asked for, with its panels, spots and first move.

    panels   those to sweep; none: the whole pavement, or what `rows_text` says
    twice    those of them that get twice the passes; on a whole pavement, any
    A blank number is given: W-2026-014, the next of the organisation's year. Raises CannotOrder.
    """
    named = panels_of_order(row, list(panels), list(twice))
    spots = [list(before_spots), list(after_spots)]
    refuse_strangers(row, [*named, *spots[0], *spots[1]])
    row.organisation = organisation
    row.number = row.number.strip() or _next_number(organisation, row.asked_on.year)
    row.state = "asked_for"
    row.entered_by, row.entered_for, row.entered_at = by, organisation, timezone.now()
    row.full_clean(exclude=SET_BY_ACTIONS)
    row.save(force_insert=True)
    OrderedPanel.objects.bulk_create(
        OrderedPanel(order=row, panel=panel, is_twice=is_twice) for panel, is_twice in named.items()
    )
    row.before_spots.set(spots[0])
    row.after_spots.set(spots[1])
    WorkOrderMove.objects.create(
        order=row,
        to_state="asked_for",
        on=row.asked_on,
        signed_by=row.asked_by,
        by=by,
        by_organisation=organisation,
    )
    write_line(row, "asked for", by=by, organisation=organisation)
    return row


def panels_of_order(row: WorkOrder, panels: list[Panel], twice: list[Panel]) -> dict[Panel, bool]:
    """Return the panels of an order and whether each is swept twice. Raises CannotOrder."""
    if row.covers_all and panels:
        raise CannotOrder("The order is for the whole pavement and names panels too: choose one.")
    if not row.covers_all and not panels and not row.rows_text.strip():
        raise CannotOrder("Say which rows or panels: tap them, or write them down.")
    return dict.fromkeys(panels, False) | dict.fromkeys(twice, True)


def refuse_strangers(row: WorkOrder, parts: Sequence[Panel | Spot]) -> None:
    """Raise CannotOrder for a panel or spot of another pavement."""
    for part in parts:
        if part.pavement_id != row.pavement_id:
            raise CannotOrder(f"{part} is not on this pavement.")


def _next_number(organisation: Organisation, year: int) -> str:
    """Take the next number of the year; the organisation's row is held until the end."""
    Organisation.objects.select_for_update().get(pk=organisation.pk)
    begin = f"W-{year}-"
    taken = set(
        WorkOrder.objects.filter(organisation=organisation, number__startswith=begin).values_list(
            "number", flat=True
        )
    )
    nth = len(taken) + 1
    while f"{begin}{nth:03d}" in taken:
        nth += 1
    return f"{begin}{nth:03d}"
