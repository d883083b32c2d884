"""Whose prices a person sees: the writer's, the payer's, never a seller's to a buyer."""

from collections.abc import Iterable
from datetime import datetime, time
from zoneinfo import ZoneInfo

from registry.access.holding import all_seats_at, rights_at
from registry.models import Cleaning, JournalLine, Person, WorkOrder
from registry.models.choices import Role
from registry.models.entry import Entry
from registry.models.sight import price_at, shows_price

PRICED: dict[str, tuple[type[Cleaning | WorkOrder], str]] = {
    "cleaning": (Cleaning, "cost"),
    "workorder": (WorkOrder, "price_agreed"),
}
"""Kinds of entry that bear a price, with their table and the column."""


def may_see_prices(person: Person, row: Cleaning | WorkOrder) -> bool:
    """Say whether the price of a cleaning, or the one agreed in an order, may be shown."""
    seats = all_seats_at(person, row.pavement)
    owners = [seat for seat in seats if seat.role == Role.OWNER]
    zone = ZoneInfo(row.pavement.site.time_zone)
    rights = rights_at(person, row.pavement)
    sides = {row.entered_for_id}
    if isinstance(row, WorkOrder):
        sides |= {row.organisation_id, row.sweeper_id}
        at = datetime.combine(row.asked_on, time.min, zone)
    else:
        at = price_at(row, zone)
    return shows_price(rights, owners, is_own=bool(sides & rights.organisations), at=at)


def with_prices_hidden(
    person: Person, lines: Iterable[JournalLine], about: Entry | None = None
) -> list[JournalLine]:
    """Return journal lines with the old and new price of a cleaning or order taken out where due.

    `visible_journal` gives rows that can be counted and cut into pages: show them through here.
    `about` is the one entry that all lines are of, where that is so.
    """
    shown = list(lines)
    for kind, (model, column) in PRICED.items():
        priced = [x for x in shown if x.subject_kind == kind and column in x.changes]
        rows = model.objects.select_related("pavement__site")
        found: dict[int, Cleaning | WorkOrder] = {}
        if isinstance(about, model):
            found[about.pk] = about
        elif priced:
            found.update(rows.in_bulk([line.subject_id for line in priced]))
        for line in priced:
            if not may_see_prices(person, found[line.subject_id]):
                line.changes = {**line.changes, column: ["not shown", "not shown"]}
    return shown
