"""Orders of the winter and spring to come, and bills of old ones: every state has an example.

All of it is invented: days, reasons, sums and invoices.
"""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from registry.actions.ask_for_work_order import ask_for_work_order
from registry.actions.move_work_order import move_work_order
from registry.demo.crews import Fleet
from registry.demo.orders import ALL_FORBIDDEN, date_again
from registry.demo.people import MANAGER, TOWN, Author, Cast
from registry.models import CleaningMethod, Pavement, WorkOrder

VACUUM, AIR = CleaningMethod.VACUUM, CleaningMethod.REGENERATIVE_AIR
WASH, WALK_BEHIND = CleaningMethod.WASH_AND_VACUUM, CleaningMethod.WALK_BEHIND
BILLED_AFTER, PAID_AFTER = timedelta(days=14), timedelta(days=40)
PAID_UP_TO, BILLED_UP_TO = 2024, 2025
TO_COME = (
    ("PP-22-05", date(2026, 12, 8), VACUUM, "last leaf is down"),
    ("PP-24-04", date(2026, 12, 9), VACUUM, "last leaf is down"),
)
"""The town's, for its sweeping crew: (pavement, day, method, reason in one line)."""
HIRED = (
    ("PP-21-02", date(2026, 12, 3), AIR, "second sweep at the last leaf", "540"),
    ("PP-23-07", date(2027, 3, 30), VACUUM, "after the last sand, before a big rain", "880"),
    ("PP-20-07", date(2027, 4, 1), VACUUM, "after the last sand, before a big rain", "760"),
)
"""The manager's, by hired firms: the same, with the sum that was agreed."""
NOT_DATED = (
    (MANAGER, "PP-19-06", WASH, "approved", "run-on edge is shut; wash in June"),
    (MANAGER, "PP-24-06", VACUUM, "approved", "spring round of the yard"),
    (MANAGER, "PP-20-01", WALK_BEHIND, "asked_for", "moss along the hedge"),
    (TOWN, "PP-18-02", VACUUM, "asked_for", "sand of the winter, deliveries from 09:00 on"),
)
"""(keeper, pavement, method, state, reason in one line)."""
ASKED_ON, APPROVED_ON = date(2026, 10, 12), date(2026, 10, 15)


def fill_order_book(cast: Cast, pavements: dict[str, Pavement], fleet: Fleet) -> None:
    """Store the orders to come, and bill and pay old ones of the manager."""
    crew = fleet.crews["sweeping crew"]
    for key, day, method, because in TO_COME:
        row = _order(pavements[key], method, because, must_be_dry="yes", passes=1)
        row.sweeper = crew.organisation
        _approve(row, cast.as_author(TOWN))
        date_again(row, day, cast.as_author(TOWN), crew=crew, on=APPROVED_ON)
    for key, day, method, because, agreed in HIRED:
        row = _order(pavements[key], method, because, price_agreed=Decimal(agreed))
        _approve(row, cast.as_author(MANAGER))
        date_again(row, day, cast.as_author(MANAGER), on=APPROVED_ON)
    for keeper, key, method, state, because in NOT_DATED:
        row = _order(pavements[key], method, because)
        if state == "approved":
            _approve(row, cast.as_author(keeper))
        else:
            _ask(row, cast.as_author(keeper))
    _settle(cast)


def _order(pavement: Pavement, method: CleaningMethod, because: str, **fields: object) -> WorkOrder:
    given = {"asked_on": ASKED_ON, "do_not": ALL_FORBIDDEN, "because": because, **fields}
    return WorkOrder(pavement=pavement, method=method, **given)


def _ask(row: WorkOrder, author: Author) -> str:
    """Store an order and return who asked."""
    row.asked_by = str(author["by"] or author["organisation"])
    ask_for_work_order(row, **author)
    return row.asked_by


def _approve(row: WorkOrder, author: Author) -> None:
    signed_by = _ask(row, author)
    move_work_order(row, to_state="approved", on=APPROVED_ON, signed_by=signed_by, **author)


def _settle(cast: Cast) -> None:
    """Bill what was accepted up to a year, and pay what is older still."""
    author = cast.as_author(MANAGER)
    writer = str(author["by"] or author["organisation"])
    accepted = WorkOrder.objects.standing().filter(
        organisation=cast[MANAGER], state="accepted", dated_for__year__lte=BILLED_UP_TO
    )
    for row in accepted.order_by("dated_for", "pk"):
        done_on = row.dated_for
        assert done_on is not None
        given: dict[str, Any] = {"signed_by": writer, **author}
        invoice = f"inv. {row.number.removeprefix('W-')}"
        move_work_order(row, to_state="billed", on=done_on + BILLED_AFTER, invoice=invoice, **given)
        if done_on.year <= PAID_UP_TO:
            move_work_order(row, to_state="paid", on=done_on + PAID_AFTER, **given)
