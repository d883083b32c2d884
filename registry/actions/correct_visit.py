"""Put a visit right; where its day was wrong, what it saw that day is put right with it."""

from collections.abc import Mapping
from datetime import date

from django.db import transaction

from registry.actions.correct_entry import correct_entry
from registry.gathering.known_defects import found_new
from registry.models import Organisation, Person, Visit
from registry.models.entry import Change, Entry


@transaction.atomic
def correct_visit(
    row: Visit,
    *,
    changes: Mapping[str, Change],
    why: str,
    by: Person | None,
    organisation: Organisation | None,
) -> Visit:
    """Correct a visit. A new day goes to its looks, its well readings and the defects it noted.

    Raises CannotBeCorrected, and DayAhead where the day lies ahead.
    """
    stored = Visit.objects.get(pk=row.pk)  # a form may have put the new day into its row already
    before, new = stored.done_on, list(found_new(stored))
    corrected = correct_entry(row, changes=changes, why=why, by=by, organisation=organisation)
    assert isinstance(corrected, Visit)
    if corrected.done_on == before:
        return corrected
    follows: list[tuple[Entry, str]] = [(defect, "first_seen_on") for defect in new]
    follows += [(look, "seen_on") for look in row.observations.standing()]
    follows += [(reading, "read_on") for reading in row.well_readings.standing()]
    for entry, name in follows:
        if getattr(entry, name) == before:
            day = {name: _day(before, corrected.done_on)}
            correct_entry(entry, changes=day, why=why, by=by, organisation=organisation)
    return corrected


def _day(before: date, after: date) -> Change:
    return Change(after, "", seen=before, is_seen_known=True)
