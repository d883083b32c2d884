"""Note what was seen: a new defect, or, where a person so decided, one that is known already."""

from typing import Any

from django.db import transaction

from registry.actions.link_defects import link_defects
from registry.actions.record_defect import record_defect
from registry.actions.record_observation import record_observation
from registry.faults import DomainError
from registry.models import Defect, DefectLink, Observation, Organisation, Person

SAME = "same"
RELATIONS = (SAME, DefectLink.Relation.RECURS, DefectLink.Relation.PART_OF)


class CannotNote(DomainError):
    """The known defect is of another kind or pavement, so that the two are never one."""


@transaction.atomic
def note_defect(
    row: Defect,
    *,
    first_look: Observation,
    by: Person | None,
    organisation: Organisation | None,
    relation: str = "",
    other: Defect | None = None,
    why: str = "",
) -> Defect:
    """Store what a person saw and return the defect it belongs to.

    relation  "" a new defect; "same" a look at `other`; "recurs" or "part_of" a new one, linked
    """
    given: dict[str, Any] = {"by": by, "organisation": organisation}
    if not relation:
        return record_defect(row, first_look=first_look, **given)
    if relation not in RELATIONS or other is None:
        raise CannotNote("Say which known defect it is, and what it is to that one.")
    if other.pavement_id != row.pavement_id or other.kind != row.kind:
        raise CannotNote(f"{other} is of another kind or pavement.")
    if relation == SAME:
        first_look.defect = other
        record_observation(first_look, **given)
        return other
    new = record_defect(row, first_look=first_look, **given)
    link_defects(new, relation=relation, other=other, on=first_look.seen_on, why=why, **given)
    return new
