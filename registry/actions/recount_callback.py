"""Count a notice anew by the terms as they stand: a line with the old day and the new one."""

from django.db import transaction

from registry.actions.correct_entry import CannotBeCorrected, correct_entry
from registry.actions.refresh_callback import refresh_callback
from registry.gathering.recount import count_notice
from registry.models import Callback, Organisation, Person
from registry.models.entry import Change
from registry.placing.working_days import Counted


@transaction.atomic
def recount_callback(
    row: Callback, *, why: str, by: Person | None, organisation: Organisation | None
) -> Callback:
    """Store the day that the terms give now, by a line that keeps the old day and its rule.

    Raises CannotBeCorrected where the terms give no day or the same, and while a dispute freezes
    the callback.
    """
    found = count_notice(row)
    if not isinstance(found, Counted):
        raise CannotBeCorrected(f"No day can be counted. {found.reason}")
    changes = {
        "counted_on": Change(found.on, "", seen=row.counted_on, is_seen_known=True),
        "counted_why": Change(found.why[:300], ""),
    }
    correct_entry(row, changes=changes, why=why, by=by, organisation=organisation)
    refresh_callback(Callback.objects.select_related("warranty__holiday_list").get(pk=row.pk))
    row.refresh_from_db()
    return row
