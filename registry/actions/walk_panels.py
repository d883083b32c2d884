"""Say which panels a visit walked, and which were not seen and why."""

from collections.abc import Iterable, Mapping

from django.db import transaction

from registry.actions.answer_defect import refuse_unless_open
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import Organisation, Panel, Person, Visit, WalkedPanel
from registry.models.panel import plan_order


class CannotWalkPanels(DomainError):
    """A panel of another pavement, one both walked and not seen, or one not seen without why."""


@transaction.atomic
def walk_panels(
    visit: Visit,
    *,
    walked: Iterable[Panel],
    unseen: Mapping[Panel, str],
    by: Person | None,
    organisation: Organisation | None,
) -> None:
    """Store what was walked and what was not seen; what is said later of a panel holds."""
    locked = Visit.objects.select_for_update().get(pk=visit.pk)
    refuse_unless_open(locked)
    said = dict.fromkeys(walked, "")
    _refuse(locked, said, unseen)
    said |= {panel: why.strip() for panel, why in unseen.items()}
    before = {row.panel_id: row.why for row in locked.panels.all()}
    fresh = {panel: why for panel, why in said.items() if before.get(panel.pk) != why}
    if not fresh:
        return
    WalkedPanel.objects.bulk_create(
        [
            WalkedPanel(visit=locked, panel=panel, is_unseen=bool(why), why=why)
            for panel, why in fresh.items()
        ],
        update_conflicts=True,
        unique_fields=["visit", "panel"],
        update_fields=["is_unseen", "why"],
    )
    changes = {"panels": [_names(before, fresh), _told(fresh)]}
    write_line(locked, "walked", by=by, organisation=organisation, changes=changes)


def _refuse(visit: Visit, walked: Mapping[Panel, str], unseen: Mapping[Panel, str]) -> None:
    for panel in (*walked, *unseen):
        if panel.pavement_id != visit.pavement_id:
            raise CannotWalkPanels(f"Panel {panel} is not on this pavement.")
    if both := set(walked) & set(unseen):
        names = ", ".join(sorted((p.name for p in both), key=plan_order))
        raise CannotWalkPanels(f"Both walked and not seen: {names}.")
    if silent := [panel.name for panel, why in unseen.items() if not why.strip()]:
        names = ", ".join(sorted(silent, key=plan_order))
        raise CannotWalkPanels(f"Say why these panels were not seen: {names}.")


def _names(before: Mapping[int, str], fresh: Mapping[Panel, str]) -> str:
    """What was said of the same panels before, for the journal."""
    return _told({panel: before[panel.pk] for panel in fresh if panel.pk in before})


def _told(said: Mapping[Panel, str]) -> str:
    by_why: dict[str, list[str]] = {}
    for panel, why in said.items():
        by_why.setdefault(f"not seen, {why}" if why else "walked", []).append(panel.name)
    return "; ".join(
        f"{words}: {', '.join(sorted(names, key=plan_order))}" for words, names in by_why.items()
    )
