"""Does a warranty go over to a buyer? By the transfer rule of its own terms.

Whatever the answer, the last day stays as it was. A notice of the sale that nobody dated leaves it
open; contract and law decide what follows.
"""

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from registry.placing.faults import ClaimError, NotGiven


class TransferRule(StrEnum):
    FREE = "free"
    BY_NOTICE = "by_notice"
    NONE = "none"


@dataclass(frozen=True)
class Transfer:
    """covers_buyer: a reason where it is not decided. notice_by: last day to give notice."""

    covers_buyer: bool | NotGiven
    notice_by: date | None


def transfer(
    rule: TransferRule,
    sold_on: date,
    *,
    today: date,
    notice_days: int | None = None,
    noticed_on: date | None = None,
) -> Transfer:
    """Apply the transfer rule to a sale.

    notice_days  days after the sale within which the contractor must be told, for BY_NOTICE
    noticed_on   counted-received date of that notice, None where none is on record
    """
    if rule is not TransferRule.BY_NOTICE:
        return Transfer(rule is TransferRule.FREE, None)
    if notice_days is None or notice_days < 0:
        raise ClaimError("Say within how many days after the sale the contractor must be told.")
    by = sold_on + timedelta(days=notice_days)
    if noticed_on is not None:
        return Transfer(noticed_on <= by, by)
    if today <= by:
        return Transfer(NotGiven(f"Notice of the sale may still be given until {by}."), by)
    return Transfer(NotGiven(f"No notice of the sale by {by} is on record."), by)
