"""Ask for a round of crews: write down what is asked, see that it can be, and queue the work."""

from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils import timezone

from registry.actions.queue_work import queue_round
from registry.actions.write_journal import write_line
from registry.gathering.round_plan import MOST_SECONDS
from registry.gathering.round_problem import gather_round
from registry.models import Person, Round
from registry.models.round import MOST_DAYS
from registry.planning.rounds.faults import RoundError


@transaction.atomic
def ask_for_round(row: Round, *, by: Person | None) -> Round:
    """Store an unsaved round and queue it. The record is read now, so that what cannot be is told.

    Raises RoundError where it begins in the past, there is no crew or no order to plan, the days
    are too many, sites keep other local times, or a table of driving times leaves out a pair that
    is needed.
    """
    if not 1 <= row.days <= MOST_DAYS:
        raise RoundError(f"A round is of 1 to {MOST_DAYS} days.")
    if row.seconds is not None and row.seconds > MOST_SECONDS:
        raise RoundError(f"At most {MOST_SECONDS} seconds are given to a round.")
    now = timezone.now()
    today = now.astimezone(ZoneInfo(row.time_zone)).date()
    if row.first_on < today:
        raise RoundError(f"A round begins today, {today}, or later; {row.first_on} is past.")
    given = gather_round(row, at=now)
    if not given.crews:
        words = " ".join(given.notes) or "Write down a crew with its machine and depot first."
        raise RoundError(f"There is no crew that could be planned. {words}")
    if not given.orders and not given.not_ready:
        raise RoundError(
            "There is no work order to plan: none that this organisation sweeps is approved and "
            "without a day of its own."
        )
    row.asked_by = by
    row.orders_given = len(given.orders) + len(given.not_ready)
    if row.travel is not None and row.travel._state.adding:
        row.travel.save()
    row.save()
    write_line(row, "asked for", by=by, organisation=row.organisation)
    queue_round(row.pk)
    return row
