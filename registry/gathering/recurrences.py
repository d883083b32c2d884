"""Defects that came back at the place of a repaired one, against the warranty of that repair."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import F, OuterRef, Subquery

from registry.gathering.warranty_terms import part_of_row
from registry.models import Callback, DefectLink, Repair, RepairMove
from registry.models.repair import RepairQuerySet
from registry.placing.came_back import NO_REPAIR, CameBack, Mended, came_back
from registry.placing.faults import NotGiven

NO_COVER = NotGiven("No cover of the repaired part is entered.")


@dataclass(frozen=True)
class Recurrence:
    """A link to what it recurs from, a repair done in between, and how the days lie.

    repair  None where none is seen
    """

    link: DefectLink
    repair: Repair | None
    came: CameBack


def recurrences(links: Iterable[DefectLink], repairs: RepairQuerySet) -> list[Recurrence]:
    """Return a line for each repair after which something came back, by one query for all links.

    links    those that recur are taken, void defects left out; with defects and their panels
    repairs  those the reader may see: that cover the old defect, or put new concrete into the panel
    """
    recur = [link for link in links if _counts(link)]
    if not recur:
        return []
    there: dict[int, list[Repair]] = defaultdict(list)
    covers: dict[int, set[int]] = defaultdict(set)
    for repair in _rows(repairs, {link.other.pavement_id for link in recur}):
        covers[repair.pk].add(repair.old)
        if len(covers[repair.pk]) == 1:
            there[repair.pavement_id].append(repair)
    found = []
    for link in recur:
        lines = [
            Recurrence(link, repair, came)
            for repair in there[link.other.pavement_id]
            if link.other_id in covers[repair.pk] or _renews_its_panel(repair, link)
            if (came := _against(repair, link))
        ]
        found += lines or [Recurrence(link, None, NO_REPAIR)]
    return found


def recurrences_under(
    callback: Callback, links: Iterable[DefectLink], repairs: RepairQuerySet
) -> list[Recurrence]:
    """Return what came back after a repair of a callback, or what is attached to it and did."""
    found = recurrences(links, repairs)
    if not found:
        return []
    attached = callback.attachments.standing().filter(defect__isnull=False)
    own = set(attached.values_list("defect", flat=True))
    return [
        one
        for one in found
        if one.link.defect_id in own
        or (one.repair is not None and one.repair.callback_id == callback.pk)
    ]


def _counts(link: DefectLink) -> bool:
    recurs = link.relation == DefectLink.Relation.RECURS
    return recurs and not (link.defect.is_void or link.other.is_void)


def _rows(repairs: RepairQuerySet, pavements: set[int]) -> RepairQuerySet:
    """Repairs once for each defect they cover (`old`), with the day they were moved to done."""
    done = RepairMove.objects.filter(repair=OuterRef("pk"), to_state="done", is_back=False)
    rows: RepairQuerySet = (
        repairs.standing()
        .filter(pavement__in=pavements)
        .annotate(old=F("defects"), moved_on=Subquery(done.order_by("-on").values("on")[:1]))
        .select_related("warranty_part__warranty")
    )
    return rows


def _renews_its_panel(repair: Repair, link: DefectLink) -> bool:
    """New concrete in the panel of the old defect, put in after that was seen."""
    panel = link.other.panel
    if panel is None or repair.in_on is None or repair.in_on < link.other.first_seen_on:
        return False
    return panel.name in repair.panels


def _against(repair: Repair, link: DefectLink) -> CameBack | None:
    part = repair.warranty_part
    known = part is not None and not part.is_void and not part.warranty.is_void
    mended = Mended(
        str(repair),
        repair.in_on or repair.opened_on or repair.moved_on,  # type: ignore[attr-defined]
        part_of_row(part) if part is not None and known else NO_COVER,
    )
    panel = link.defect.panel
    return came_back(mended, found_on=link.defect.first_seen_on, panel=panel.name if panel else "")
