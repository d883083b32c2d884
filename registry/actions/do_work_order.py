"""Write down what was done of a work order: the cleaning, its rows and the move, in one go."""

from collections.abc import Iterable, Mapping
from typing import Any

from django.db import transaction

from registry.actions.move_work_order import move_work_order
from registry.actions.record_cleaning import record_cleaning
from registry.gathering.order_rows import cleanings_that_count, panels_left
from registry.models import (
    Cleaning,
    CleaningState,
    InfiltrationTest,
    Organisation,
    Panel,
    Person,
    WorkOrder,
)
from registry.planning.faults import CannotMoveOrder


@transaction.atomic
def do_work_order(
    row: WorkOrder,
    *,
    cleaning: Cleaning,
    by: Person | None,
    organisation: Organisation | None,
    missed: Mapping[Panel, str] | None = None,
    before_tests: Iterable[InfiltrationTest] = (),
    after_tests: Iterable[InfiltrationTest] = (),
    signed_by: str = "",
) -> Cleaning:
    """Store the cleaning of an order that is done, or done in part, and move the order.

    cleaning   unsaved, its state `done` or `in_part`; pavement and order are set here
    missed     panels not done, each with why; the others of the order are covered
    The missed panels keep the date of their last cleaning. Raises CannotMoveOrder.
    """
    missed = dict(missed or {})
    if cleaning.state not in (CleaningState.DONE, CleaningState.IN_PART):
        raise CannotMoveOrder("Say whether the order was done or done in part.")
    cleaning.pavement, cleaning.work_order = row.pavement, row
    covered = _covered(row, cleaning, missed)
    _refuse_contradiction(cleaning, covered, missed)
    is_done = cleaning.state == CleaningState.DONE
    cleaning.covers_all = is_done and not missed and _is_all_in_one_go(row)
    if not cleaning.covers_all and not cleaning.rows_text:
        cleaning.rows_text = _rows_in_words(row, covered)
    given: dict[str, Any] = {"by": by, "organisation": organisation}
    record_cleaning(
        cleaning,
        covered=covered,
        missed=missed,
        before_tests=before_tests,
        after_tests=after_tests,
        **given,
    )
    move_work_order(
        row,
        to_state=str(cleaning.state),
        on=cleaning.done_on,
        cleaning=cleaning,
        why=cleaning.missed_why,
        signed_by=signed_by or cleaning.operator,
        **given,
    )
    return cleaning


def _covered(row: WorkOrder, cleaning: Cleaning, missed: Mapping[Panel, str]) -> list[Panel]:
    """Return the panels done: those still to do, less the missed.

    Done in part without a panel named, nobody knows which: none is claimed.
    """
    if not missed and (cleaning.state == CleaningState.IN_PART or _is_all_in_one_go(row)):
        return []
    left = panels_left(row)
    if _is_all_in_one_go(row):
        left = list(row.pavement.panels.standing().existing_on(cleaning.done_on))
    strange = [panel.name for panel in missed if panel not in left]
    if strange:
        raise CannotMoveOrder(f"Not of this order, or done before: {', '.join(strange)}.")
    return [panel for panel in left if panel not in missed]


def _is_all_in_one_go(row: WorkOrder) -> bool:
    """Say whether the whole pavement is to do, no part of it done before."""
    return row.covers_all and not cleanings_that_count(row).exists()


def _refuse_contradiction(
    cleaning: Cleaning, covered: list[Panel], missed: Mapping[Panel, str]
) -> None:
    if cleaning.state == CleaningState.DONE and missed:
        raise CannotMoveOrder("Rows were missed: then the order is done in part.")
    if missed and not covered:
        raise CannotMoveOrder(
            "Every row was missed: then nothing was cleaned. Write down that it was turned away "
            "or called off, and why."
        )
    unsaid = [panel.name for panel, why in missed.items() if not why.strip()]
    if unsaid:
        raise CannotMoveOrder(f"Say why these were missed: {', '.join(unsaid)}.")
    is_part = cleaning.state == CleaningState.IN_PART
    if is_part and not missed and not cleaning.missed_why.strip():
        raise CannotMoveOrder("Say what was not done, and why.")


def _rows_in_words(row: WorkOrder, covered: list[Panel]) -> str:
    if not covered:
        return "in part, rows not written" if row.covers_all else row.rows_text
    names = ", ".join(panel.name for panel in covered)
    return names if len(names) <= 240 else f"{len(covered)} panels, listed below"
