"""Defects that came back at the place of a repaired one, against the warranty of that repair."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.db.models import F, OuterRef, Subquery

from registry.gathering.warranty_terms import part_of_row
from registry.models import Callback, Defect, DefectLink, Panel, Repair, RepairMove
from registry.models.repair import RepairQuerySet
from registry.placing.came_back import NO_REPAIR, CameBack, Mended, came_back
from registry.placing.faults import NotGiven
from registry.placing.warranty import Part

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
    repairs  those the reader may see: that cover the old defect, or put new concrete into the
             panel; of one that was carried on from a split pavement, those of that pavement too
    """
    recur = [link for link in links if _counts(link)]
    if not recur:
        return []
    before = {link.other_id: _with_before(link.other) for link in recur}
    there: dict[int, list[Repair]] = defaultdict(list)
    covers: dict[int, set[int]] = defaultdict(set)
    olds = [old for rows in before.values() for old in rows]
    for repair in _rows(repairs, {old.pavement_id for old in olds}):
        covers[repair.pk].add(repair.old)
        if len(covers[repair.pk]) == 1:
            there[repair.pavement_id].append(repair)
    found = []
    for link in recur:
        rows = before[link.other_id]
        lines = [
            Recurrence(link, repair, came)
            for place in dict.fromkeys(old.pavement_id for old in rows)
            for repair in there[place]
            if covers[repair.pk] & {old.pk for old in rows} or _renews_its_panel(repair, link)
            if (came := _against(repair, link))
        ]
        found += lines or [Recurrence(link, None, NO_REPAIR)]
    return found


def recurrences_of_rows(
    links: Mapping[int, list[DefectLink]], repairs: RepairQuerySet
) -> dict[int, list[Recurrence]]:
    """Return `recurrences` by row of a list, by one query for all; none where there is no link.

    links    by id of the row, as `access.recurring.recurring_links` gives them
    """
    every = {link.pk: link for some in links.values() for link in some}
    by_link: dict[int, list[Recurrence]] = defaultdict(list)
    for one in recurrences(every.values(), repairs):
        by_link[one.link.pk].append(one)
    return {row: [one for link in some for one in by_link[link.pk]] for row, some in links.items()}


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


def _with_before(row: Defect) -> list[Defect]:
    """Return a defect, then the rows it was carried on from when its pavement was split."""
    found = [row]
    while found[-1].carried_from is not None:
        found.append(found[-1].carried_from)
    return found


def _names(panel: Panel | None) -> list[str]:
    """Return the name of a panel, then of those it was cut from."""
    found = []
    while panel is not None:
        found.append(panel.name)
        panel = panel.cut_from
    return found


def _renews_its_panel(repair: Repair, link: DefectLink) -> bool:
    """New concrete in the panel of the old defect, put in after that was seen."""
    if repair.in_on is None or repair.in_on < link.other.first_seen_on:
        return False
    return any(name in repair.panels for name in _names(link.other.panel))


def _against(repair: Repair, link: DefectLink) -> CameBack | None:
    part = repair.warranty_part
    known = part is not None and not part.is_void and not part.warranty.is_void
    mended = Mended(
        str(repair),
        repair.in_on or repair.opened_on or repair.moved_on,  # type: ignore[attr-defined]
        part_of_row(part) if part is not None and known else NO_COVER,
    )
    names = _names(link.defect.panel) or [""]
    covered = mended.part.panels or () if isinstance(mended.part, Part) else ()
    panel = next((name for name in names if name in covered), names[0])
    return came_back(mended, found_on=link.defect.first_seen_on, panel=panel)
