"""Correct one look at a defect by a line; its severity is worked out anew from the measures."""

from collections.abc import Mapping

from django.db import transaction

from registry.actions.correct_entry import CannotBeCorrected, correct_entry
from registry.actions.record_observation import grade_look
from registry.models import Observation, Organisation, Person
from registry.models.entry import Change

GRADED = ("severity", "severity_by_eye", "graded_by")


@transaction.atomic
def correct_observation(
    row: Observation,
    *,
    changes: Mapping[str, Change],
    by_eye: str,
    why: str,
    by: Person | None,
    organisation: Organisation | None,
) -> Observation:
    """Apply corrections to a look, and to its severity by the same line.

    by_eye  severity given by eye, an empty string where the measures give it
    What the look once moved stays moved: a way back is a move of its own, with its reason.
    """
    stored = Observation.objects.select_related("defect").get(pk=row.pk)
    held = {name: getattr(stored, name) for name in GRADED}
    for name, change in changes.items():
        setattr(stored, name, change.value)
    first = stored.defect.first_seen_on
    if stored.seen_on < first:
        raise CannotBeCorrected(
            f"{stored.seen_on} lies before this defect was first seen, on {first}. Correct the "
            "first day it was seen, if it was there earlier."
        )
    stored.severity, stored.severity_by_eye, stored.graded_by = by_eye, bool(by_eye), ""
    grade_look(stored, stored.defect.kind)
    graded = {
        name: Change(getattr(stored, name), "", seen=held[name], is_seen_known=True)
        for name in GRADED
        if getattr(stored, name) != held[name]
    }
    corrected = correct_entry(
        row, changes={**changes, **graded}, why=why, by=by, organisation=organisation
    )
    assert isinstance(corrected, Observation)
    return corrected
