"""Record one look at a defect: found and how large, not found, or could not look."""

from django.db import transaction
from django.utils import timezone

from registry.actions.add_entry import SET_BY_ACTIONS
from registry.actions.move_defect import move_defect
from registry.actions.refresh_standing import refresh_after
from registry.actions.refuse_days_ahead import refuse_days_ahead
from registry.actions.write_journal import write_line
from registry.defects import Measured, after_answer, grade
from registry.faults import DomainError
from registry.models import Defect, DefectMove, Observation, Organisation, Person
from registry.models.observation import MEASURES as MEASURES


class CannotRecordObservation(DomainError):
    """The visit is of another pavement, or the look lies before the defect was first seen."""


LIGHT = {"yes": True, "no": False, "nk": None, "": None}


@transaction.atomic
def record_observation(
    row: Observation,
    *,
    by: Person | None,
    organisation: Organisation | None,
) -> Observation:
    """Store a look and, where its answer moves the defect's state, that move beside it.

    The severity is worked out from what was measured; one given by eye is kept and marked so.
    Not found once leaves a defect open; the second time in good light closes it "not found", as a
    move of its own that everybody can read, never silently.
    """
    defect = Defect.objects.select_for_update().get(pk=row.defect_id)
    if row.visit is not None and row.visit.pavement_id != defect.pavement_id:
        raise CannotRecordObservation(f"The {row.visit} was of another pavement.")
    refuse_before_first(row, defect)
    refuse_days_ahead(row)
    grade_look(row, defect.kind)
    row.entered_by, row.entered_for, row.entered_at = by, organisation, timezone.now()
    row.full_clean(exclude=SET_BY_ACTIONS)
    earlier = list(defect.observations.standing().in_order())
    row.save(force_insert=True)
    write_line(row, "looked at", by=by, organisation=organisation, pavement=defect.pavement)
    _move(defect, row, earlier, by, organisation)
    refresh_after(row)
    return row


def refuse_before_first(row: Observation, defect: Defect) -> None:
    """Raise CannotRecordObservation where a look is dated before its defect was first seen."""
    if row.seen_on < defect.first_seen_on:
        raise CannotRecordObservation(
            f"{row.seen_on} lies before this defect was first seen, on {defect.first_seen_on}. "
            "Correct the first day it was seen, if it was there earlier."
        )


def measured_of(row: Observation) -> Measured:
    """Return what an observation measured, as the pure rules take it."""
    return Measured(**{name: getattr(row, name) for name in MEASURES})


def grade_look(row: Observation, kind: str) -> None:
    """Work out the severity of an unsaved look from its measures; one by eye is marked so."""
    if row.found != Observation.Found.FOUND or row.empties.get("severity"):
        return  # missed, or its writer said that nobody graded it
    graded = grade(kind, measured_of(row))
    if graded.severity and not row.severity_by_eye:
        row.severity, row.graded_by = graded.severity, graded.rule[:240]
    elif row.severity:
        row.severity_by_eye = True


def _move(
    defect: Defect,
    row: Observation,
    earlier: list[Observation],
    by: Person | None,
    organisation: Organisation | None,
) -> None:
    if any(o.seen_on > row.seen_on for o in earlier):
        return  # a sheet that came back late tells the past; later looks have moved the defect
    states = [m.to_state for m in DefectMove.objects.filter(defect=defect)]
    meant = after_answer(
        defect.state, row.found, LIGHT[row.good_light], _lights_of_misses(earlier), states
    )
    if meant.state != defect.state:
        move_defect(
            defect,
            to_state=meant.state,
            is_back=meant.is_back,
            why=meant.words,
            on=row.seen_on,
            visit=row.visit,
            by=by,
            organisation=organisation,
        )


def _lights_of_misses(earlier: list[Observation]) -> list[bool | None]:
    """Return the light of each look that missed the defect since it was last found."""
    lights: list[bool | None] = []
    for look in earlier:
        if look.found == Observation.Found.FOUND:
            lights = []
        elif look.found == Observation.Found.NOT_FOUND:
            lights.append(LIGHT[look.good_light])
    return lights
