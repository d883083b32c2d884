"""Say what one defect is to another: the same, part of it, grown into it, come back there."""

from datetime import date

from django.db import transaction

from registry.actions.move_defect import move_defect
from registry.actions.refresh_standing import refresh_after_defect
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.frozen import frozen_under, why_frozen
from registry.models import Defect, DefectLink, Organisation, Person


class CannotLink(DomainError):
    """On two pavements, linked so already, or made a double under a dispute."""


@transaction.atomic
def link_defects(
    row: Defect,
    *,
    relation: str,
    other: Defect,
    on: date,
    by: Person | None,
    organisation: Organisation | None,
    why: str = "",
) -> DefectLink:
    """Store a link that a person decided. What became part of another is counted there only.

    Both lie on one pavement; but what was closed before a split stays with the whole, and a defect
    of a part may recur from it. `part of` and `grew into` move this defect to the state "part of
    another", and `same as` makes it a double of the one that is kept; a defect that recurs in new
    concrete stays one of its own.
    """
    if row.pavement_id != other.pavement_id:
        _refuse_elsewhere(row, relation, other)
    if row.pk == other.pk:
        raise CannotLink("A defect cannot be linked to itself.")
    if DefectLink.objects.filter(defect__in=(row, other), other__in=(row, other)).exists():
        raise CannotLink(f"{row} and {other} are linked already.")
    if relation == DefectLink.Relation.SAME_AS and (dispute := frozen_under(row)) is not None:
        raise CannotLink(why_frozen(dispute))
    link = DefectLink.objects.create(
        defect=row, relation=relation, other=other, on=on, by=by, why=why
    )
    if relation in (DefectLink.Relation.PART_OF, DefectLink.Relation.GREW_INTO):
        words = why or f"{link.get_relation_display()} {other}"
        move_defect(row, to_state="part_of", on=on, by=by, organisation=organisation, why=words)
    if relation == DefectLink.Relation.SAME_AS:
        Defect.objects.filter(pk=row.pk, double_of__isnull=True).update(double_of=other)
        row.refresh_from_db()
        refresh_after_defect(row)
    changes = {"link": ["", str(link)]}
    write_line(row, "linked", by=by, organisation=organisation, why=why, changes=changes)
    return link


def _refuse_elsewhere(row: Defect, relation: str, other: Defect) -> None:
    """Take one that was closed at what the pavement was split from, as what came back there."""
    if other.pavement_id not in {whole.pk for whole in row.pavement.wholes()}:
        raise CannotLink(f"{other} is on another pavement.")
    if relation != DefectLink.Relation.RECURS or other.state != "closed":
        raise CannotLink(
            f"{other} stayed with {other.pavement}, which was split. A defect of a part can only "
            "recur at the place of one that was closed there."
        )
