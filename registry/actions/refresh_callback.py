"""Work out what is due next in a callback, and who has to act; lists and the first page read it."""

from registry.gathering.callback_clocks import clocks_of
from registry.gathering.callback_rows import callback_rows
from registry.models import AgreedDate, AnswerLimit, Callback, HolidayList, Repair, Warranty
from registry.placing.claim_moves import OFFERS_SETTLEMENT
from registry.placing.faults import NotGiven

OF_A_CALLBACK = (AgreedDate, AnswerLimit, HolidayList)
"""Entries from which a day of a callback follows, and nothing else of a pavement."""


def refresh_callback(row: Callback) -> None:
    """Store the first step that is not done and has a day; nothing where none waits.

    While one side alone signed a settlement, the other has to act, without a day.
    """
    step, side, due_on = "", "", None
    if row.state == OFFERS_SETTLEMENT and not row.is_void:
        side = _side_to_sign(row)
    elif row.is_open and not row.is_void:
        rows = callback_rows(row, notes=row.notes.none(), repairs=Repair.objects.none())
        # The day of the viewer matters for the words alone, not for what is due.
        found = clocks_of(row, rows, today=row.entered_at.date())
        waiting = [
            (one.clock.due.on, one)
            for one in found
            if one.clock.done_on is None and not isinstance(one.clock.due, NotGiven)
        ]
        if waiting:
            due_on, first = min(waiting, key=lambda pair: pair[0])
            step, side = first.step, first.side
    given = {"next_step": step, "next_side": side, "next_due_on": due_on}
    Callback.objects.filter(pk=row.pk).update(**given)


def _side_to_sign(row: Callback) -> str:
    """Return the side that has yet to sign the settlement, "both" where it is not known."""
    first = row.moves.filter(to_state=OFFERS_SETTLEMENT).order_by("at", "pk").last()
    if first is None or first.by_organisation_id is None:
        return "both"
    return "owner" if first.by_organisation_id == row.contractor_id else "contractor"


def refresh_callbacks_of(row: AgreedDate | AnswerLimit | HolidayList | Warranty) -> None:
    """Bring up to date the callbacks for which terms, a limit, a list or an agreed date count."""
    if isinstance(row, AgreedDate):
        rows = Callback.objects.filter(pk=row.callback_id)
    elif isinstance(row, HolidayList):
        rows = Callback.objects.open().filter(warranty__holiday_list=row)
    elif isinstance(row, Warranty):
        rows = Callback.objects.open().filter(warranty=row)
    else:
        rows = Callback.objects.open().filter(warranty=row.warranty_id)
    for callback in rows.select_related("warranty__holiday_list"):
        refresh_callback(callback)
