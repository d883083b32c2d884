"""Who may have the dossier of a callback made, what goes into it, and who gets its files.

The parties of the callback: its contractor, the owner's side, an evaluator. A dossier is of the
side it was made for: its page and its files go to nobody else, since what each may see differs.
That it was asked for, made and taken away, by whom and when, every party of the callback reads.
What one side keeps inside is in none.
"""

from dataclasses import dataclass

from django.core.exceptions import PermissionDenied
from django.db.models import Q, QuerySet
from django.http import Http404

from registry.access import visible_tests
from registry.access.callbacks import (
    acting_side,
    get_callback,
    visible_notes,
    visible_repairs,
    visible_winter_log,
)
from registry.access.defects import (
    visible_defects,
    visible_observations,
    visible_photos,
    visible_recurrences,
    visible_visits,
)
from registry.access.holding import rights_at
from registry.access.people import organisations_of
from registry.access.placing import visible_cores, visible_placing_days, visible_raveled_shares
from registry.models import (
    Callback,
    CallbackNote,
    Core,
    DefectLink,
    Dossier,
    JournalLine,
    Organisation,
    Person,
)
from registry.models.defect import DefectQuerySet
from registry.models.infiltration_test import InfiltrationTestQuerySet
from registry.models.journal import JournalLineQuerySet
from registry.models.observation import ObservationQuerySet
from registry.models.photo import PhotoQuerySet
from registry.models.placing_day import PlacingDayQuerySet
from registry.models.raveled_share import RaveledShareQuerySet
from registry.models.repair import RepairQuerySet
from registry.models.rights import READERS_OF_ALL
from registry.models.visit import VisitQuerySet
from registry.models.winter_entry import WinterEntryQuerySet


@dataclass(frozen=True)
class SeenRows:
    """Rows that one side may see of what a dossier holds."""

    days: PlacingDayQuerySet
    looks: RaveledShareQuerySet
    defects: DefectQuerySet
    observations: ObservationQuerySet
    visits: VisitQuerySet
    cores: QuerySet[Core]
    tests: InfiltrationTestQuerySet
    photos: PhotoQuerySet
    winter: WinterEntryQuerySet
    notes: QuerySet[CallbackNote]
    repairs: RepairQuerySet
    recurring: list[DefectLink]
    all_originals: bool
    own: frozenset[int]


def side_for_dossier(person: Person, row: Callback) -> Organisation | None:
    """Return the side of a callback through which a person has a dossier made, or None."""
    return acting_side(rights_at(person, row.pavement), row, "add")


def get_callback_for_dossier(person: Person, pk: int) -> Callback:
    """Return a callback whose dossier a person may ask for."""
    row = get_callback(person, pk)
    if side_for_dossier(person, row) is None:
        raise PermissionDenied("Only the parties of a callback have its dossier made.")
    return row


def visible_dossiers(person: Person, row: Callback) -> QuerySet[Dossier]:
    """Return the dossiers of a callback that were made for a person's own side."""
    own = organisations_of(person).values("pk")
    return Dossier.objects.filter(callback=row, for_organisation__in=own)


def visible_dossier_lines(person: Person, row: Callback) -> JournalLineQuerySet:
    """Return who asked for, made and took which dossier of a callback, to each of its parties."""
    if side_for_dossier(person, row) is None:
        return JournalLine.objects.none()
    lines: JournalLineQuerySet = JournalLine.objects.filter(
        subject_kind="dossier", subject_id__in=row.dossiers.values("pk")
    )
    return lines.select_related("by", "by_organisation")


def get_dossier(person: Person, pk: int) -> Dossier:
    """Return a dossier of a person's own side, of a callback that it still sees."""
    rows = Dossier.objects.select_related(
        "callback__pavement__site", "callback__contractor", "for_organisation", "asked_by", "sheet"
    )
    row = rows.filter(pk=pk).first()
    if row is None:
        raise Http404("No such dossier.")
    get_callback(person, row.callback_id)
    if not visible_dossiers(person, row.callback).filter(pk=pk).exists():
        raise Http404("No such dossier.")
    return row


def seen_rows(person: Person, row: Callback) -> SeenRows:
    """Return what a person may see of the record under a callback, by the rule of each kind."""
    pavement, rights = row.pavement, rights_at(person, row.pavement)
    kept = attached_to(row)
    return SeenRows(
        days=visible_placing_days(person, pavement).standing().select_related("repair"),
        looks=visible_raveled_shares(person, pavement).standing(),
        defects=visible_defects(person, pavement),
        observations=visible_observations(person, pavement),
        visits=visible_visits(person, pavement),
        cores=visible_cores(person, pavement).standing().filter(callback=row),
        tests=visible_tests(person, pavement).filter(state="done").standing(),
        photos=visible_photos(person, pavement).standing().filter(kept).distinct(),
        winter=visible_winter_log(person, pavement).standing(),
        notes=visible_notes(person, row).filter(inside_of=None, void_at=None, double_of=None),
        repairs=visible_repairs(person, pavement).standing(),
        recurring=visible_recurrences(person, pavement),
        all_originals=bool(rights.roles & READERS_OF_ALL),
        own=frozenset(rights.organisations),
    )


def attached_to(row: Callback) -> Q:
    """Return the condition of what is attached to a callback and stands."""
    return Q(
        attached_to__callback=row, attached_to__void_at=None, attached_to__double_of__isnull=True
    )
