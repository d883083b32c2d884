"""Who sees what came back after a repair, over all pavements and over the split of one."""

from collections.abc import Iterable

from django.db.models import Exists, OuterRef, Q
from django.utils import timezone

from registry.access.all_defects import all_visible_defects
from registry.access.holding import all_visible_pavements, of_own_side, seats_of
from registry.models import Defect, DefectLink, Person, Repair
from registry.models.choices import Role
from registry.models.repair import RepairQuerySet
from registry.models.rights import KEEPERS, READERS_OF_ALL


def all_visible_repairs(person: Person) -> RepairQuerySet:
    """Return the repairs a person may see over all their pavements, as `visible_repairs` of one."""
    at = OuterRef("pavement")
    held = seats_of(person).filter(pavement=at).held_at(timezone.now())
    readers = held.filter(role__in=KEEPERS | {Role.EVALUATOR, Role.BUYER})
    once = seats_of(person).filter(pavement=at)
    answers = once.filter(role=Role.CONTRACTOR, organisation=OuterRef("callback__contractor"))
    sent = Q(callback__isnull=True) | Q(callback__submitted_on__isnull=False)
    reviewed = held.filter(role=Role.MUNICIPALITY)
    before = once.filter(role__in=KEEPERS, to_at__gt=OuterRef("entered_at"))
    reads_all = held.filter(role__in=READERS_OF_ALL)
    rows = Repair.objects.filter(pavement__in=all_visible_pavements(person).values("pk"))
    return rows.filter(
        Q(Exists(readers))
        | of_own_side(person)
        | Q(Exists(answers))
        | (sent & Q(Exists(reviewed)))
        | (Q(Exists(before)) & ~Q(Exists(reads_all)))
    )


def recurring_links(person: Person, rows: Iterable[Defect]) -> dict[int, list[DefectLink]]:
    """Return, by id of a row, its links to what it recurs from, where the person sees both.

    rows  that the person sees. One that goes on at a part of a split pavement has those of the rows
          it was carried on from too.
    """
    of = _carried(rows)
    held = seats_of(person).held_at(timezone.now()).filter(role__in=READERS_OF_ALL)
    seen = Q(Exists(all_visible_defects(person).filter(pk=OuterRef("other"))))
    seen |= Q(Exists(held.filter(pavement=OuterRef("other__pavement"))))  # one that was split too
    links = (
        DefectLink.objects.filter(relation=DefectLink.Relation.RECURS, defect__in=of)
        .filter(seen, defect__void_at=None, other__void_at=None)
        .select_related("defect__panel__cut_from", "other__panel__cut_from")
    )
    found: dict[int, list[DefectLink]] = {}
    for link in links:
        for row in of[link.defect_id]:
            found.setdefault(row, []).append(link)
    return found


def _carried(rows: Iterable[Defect]) -> dict[int, list[int]]:
    """Return the id of each row, and of all it was carried on from, with the rows it is of."""
    given = list(rows)
    of = {row.pk: [row.pk] for row in given}
    back: dict[int, list[int]] = {}
    for row in given:
        if row.carried_from_id is not None:
            back.setdefault(row.carried_from_id, []).append(row.pk)
    while back:
        for old, on in back.items():
            of.setdefault(old, []).extend(on)
        rows_before = Defect.objects.filter(pk__in=back, carried_from__isnull=False)
        back, newer = {}, back
        for old, older in rows_before.values_list("pk", "carried_from"):
            assert older is not None
            back.setdefault(older, []).extend(newer[old])
    return of
