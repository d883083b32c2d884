"""Who sees defects, observations, visits and photos: the same rows for page, sheet and file."""

from typing import TypeVar
from zoneinfo import ZoneInfo

from django.core.exceptions import PermissionDenied
from django.db.models import F, Q
from django.http import Http404

from registry.access.holding import (
    pavements_held_as,
    reads_all,
    rights_at,
    sees,
)
from registry.access.load_sheets import OF_A_DAY, copies_of_day_sheet
from registry.access.work_orders import copies_of_order_sheet
from registry.models import (
    Defect,
    DefectLink,
    InfiltrationTest,
    Observation,
    Pavement,
    Person,
    Photo,
    PrintedSheet,
    SheetCopy,
    SheetKind,
    Visit,
)
from registry.models.choices import Role
from registry.models.defect import DefectQuerySet
from registry.models.entry import Entry
from registry.models.observation import ObservationQuerySet
from registry.models.photo import PhotoQuerySet
from registry.models.rights import KEEPERS, READERS_OF_ALL
from registry.models.sight import (
    attached,
    defects_in_warranty,
    defects_shown,
    observations_shown,
    tests_shown,
    visits_shown,
)
from registry.models.visit import VisitQuerySet


def visible_visits(person: Person, pavement: Pavement) -> VisitQuerySet:
    """Return the inspection visits of a pavement that a person may see."""
    rights = rights_at(person, pavement)
    rows = Visit.objects.filter(pavement=pavement)
    if rights.roles & READERS_OF_ALL:
        return rows
    return rows.filter(visits_shown(rights, ZoneInfo(pavement.site.time_zone)))


def visible_defects(person: Person, pavement: Pavement) -> DefectQuerySet:
    """Return the defects of a pavement that a person may see."""
    rights = rights_at(person, pavement)
    rows = Defect.objects.filter(pavement=pavement)
    if rights.roles & READERS_OF_ALL:
        return rows
    return rows.filter(defects_shown(rights))


def visible_links(person: Person, row: Defect) -> list[DefectLink]:
    """Return what a visible defect is to others, and others to it, where those are seen too."""
    seen = visible_defects(person, row.pavement)
    here = Q(defect=row, other__in=seen) | Q(other=row, defect__in=seen)
    over_split = (Q(defect=row) | Q(other=row)) & ~Q(defect__pavement=F("other__pavement"))
    rows = DefectLink.objects.filter(here | over_split)
    rows = rows.select_related("defect__panel", "other__panel", "by")
    rows = rows.select_related("defect__pavement__site", "other__pavement__site")
    return [link for link in rows if _sees_far_end(person, row, link)]


def _sees_far_end(person: Person, row: Defect, link: DefectLink) -> bool:
    """Say whether the other end is seen where it lies over the split of a pavement."""
    far = link.other if link.defect_id == row.pk else link.defect
    if far.pavement_id == row.pavement_id:
        return True
    return visible_defects(person, far.pavement).filter(pk=far.pk).exists()


def visible_recurrences(person: Person, pavement: Pavement) -> list[DefectLink]:
    """Return what came back at a pavement at the place of another, where one sees both."""
    seen = visible_defects(person, pavement).standing()
    rows = DefectLink.objects.filter(
        relation=DefectLink.Relation.RECURS, defect__in=seen, other__in=seen
    )
    return list(rows.select_related("defect__panel", "other__panel"))


def visible_observations(person: Person, pavement: Pavement) -> ObservationQuerySet:
    """Return the looks at the defects of a pavement that a person may see."""
    rights = rights_at(person, pavement)
    rows = Observation.objects.filter(defect__pavement=pavement)
    if rights.roles & READERS_OF_ALL:
        return rows
    return rows.filter(
        observations_shown(rights), defect__in=visible_defects(person, pavement).values("pk")
    )


def rows_to_walk(person: Person, pavement: Pavement) -> tuple[DefectQuerySet, ObservationQuerySet]:
    """Return the defects, and their looks, that a visit of a person's side has to answer.

    They stand on its sheet and on its walk alone. Who walks for the keepers, a tester too, walks
    with all that is known; a municipality with what was sent to it and what it noted itself.
    """
    defects = Defect.objects.filter(pavement=pavement).standing()
    looks = Observation.objects.filter(defect__pavement=pavement).standing()
    if rights_at(person, pavement).roles & (READERS_OF_ALL | {Role.TESTER}):
        return defects, looks
    seen = visible_observations(person, pavement)
    return visible_defects(person, pavement).standing(), seen.standing()


def visible_photos(person: Person, pavement: Pavement) -> PhotoQuerySet:
    """Return the photos of a pavement that a person may see: as what they show, or one's own.

    A photo kept to one's own side is shown to nobody else, not even to those who read all.
    """
    rights = rights_at(person, pavement)
    rows = Photo.objects.filter(pavement=pavement)
    own = Q(entered_for__in=rights.organisations)
    if rights.roles & READERS_OF_ALL:
        return rows.filter(own | Q(shown_to="all"))
    shown = Q(defect__in=Defect.objects.filter(defects_in_warranty(rights), pavement=pavement))
    shown |= attached(rights, "photo")
    if any(seat.role == Role.CONTRACTOR for seat in rights.seats):
        zone = ZoneInfo(pavement.site.time_zone)
        visits = Visit.objects.filter(visits_shown(rights, zone), pavement=pavement)
        tests = InfiltrationTest.objects.filter(tests_shown(rights, zone), pavement=pavement)
        shown |= Q(visit__in=visits.values("pk")) | Q(infiltration_test__in=tests.values("pk"))
    if rights.past_until is not None:
        shown |= Q(entered_at__lt=rights.past_until)
    if Role.MUNICIPALITY in rights.roles:
        shown |= Q(submitted_on__isnull=False) | Q(visit__submitted_on__isnull=False)
        shown |= Q(observation__submitted_on__isnull=False)
    return rows.filter(own | (shown & Q(shown_to="all")))


def kept_defects(person: Person) -> DefectQuerySet:
    """Return the defects of pavements that a person keeps, as owner or manager."""
    return Defect.objects.filter(pavement__in=pavements_held_as(person, KEEPERS).values("pk"))


def kept_observations(person: Person) -> ObservationQuerySet:
    """Return the looks at defects of pavements that a person keeps."""
    kept = pavements_held_as(person, KEEPERS).values("pk")
    return Observation.objects.filter(defect__pavement__in=kept)


def get_visit(person: Person, pk: int, *, to: str = "read") -> Visit:
    """Return a visit; `to="correct"` asks that the person's side wrote it."""
    row = Visit.objects.select_related("pavement__site").filter(pk=pk).first()
    if row is None or not (
        reads_all(person, row.pavement)
        or visible_visits(person, row.pavement).filter(pk=pk).exists()
    ):
        raise Http404("No such visit.")
    return _readable(person, row.pavement, row, to)


def visible_copies(person: Person, sheet: PrintedSheet) -> list[SheetCopy]:
    """Return the copies of a sheet whose visit or order one may see, and those of one's side."""
    if sheet.kind == SheetKind.SWEEP:
        return copies_of_order_sheet(person, sheet)
    if sheet.kind in OF_A_DAY:
        return copies_of_day_sheet(person, sheet)
    rows = list(sheet.copies.select_related("visit__pavement__site", "copied_by", "sheet"))
    pavements = {row.visit.pavement_id: row.visit.pavement for row in rows if row.visit}
    seen: set[int] = set()
    own: set[int] = set()
    for pavement in pavements.values():
        seen |= set(visible_visits(person, pavement).values_list("pk", flat=True))
        own |= {seat.organisation_id for seat in rights_at(person, pavement).open_seats}
    return [row for row in rows if row.visit_id in seen or row.copied_for_id in own]


def get_sheet_copy(person: Person, sheet: PrintedSheet, pk: int) -> SheetCopy:
    """Return a copy of a sheet: its visit must be visible, or the person's side copied it in."""
    found = [row for row in visible_copies(person, sheet) if row.pk == pk]
    if not found:
        raise Http404("No such copy.")
    return found[0]


def get_defect(person: Person, pk: int, *, to: str = "read") -> Defect:
    """Return a defect; `to` may be "correct" (its own side) or a key of MAY ("record_defect")."""
    rows = Defect.objects.select_related("pavement__site", "panel", "section")
    row = rows.filter(pk=pk).first()
    if row is None or not (
        reads_all(person, row.pavement)
        or visible_defects(person, row.pavement).filter(pk=pk).exists()
    ):
        raise Http404("No such defect.")
    return _readable(person, row.pavement, row, to)


def get_observation(person: Person, pk: int, *, to: str = "read") -> Observation:
    """Return one look at a defect; `to="correct"` asks that the person's side wrote it."""
    rows = Observation.objects.select_related("defect__pavement__site")
    row = rows.filter(pk=pk).first()
    if row is None:
        raise Http404("No such observation.")
    pavement = row.defect.pavement
    all_seen = reads_all(person, pavement)
    if not (all_seen or visible_observations(person, pavement).filter(pk=pk).exists()):
        raise Http404("No such observation.")
    return _readable(person, pavement, row, to)


def get_photo(person: Person, pk: int, *, to: str = "read") -> Photo:
    """Return a photo; `to="correct"` asks that the person's side brought it in."""
    rows = Photo.objects.select_related(
        "pavement__site", "panel", "file", "defect", "pair_of__file", "entered_for", "site"
    )
    row = rows.filter(pk=pk).first()
    if row is None or row.pavement is None:
        raise Http404("No such photo.")
    all_seen = reads_all(person, row.pavement) and row.shown_to == "all"
    if not (all_seen or visible_photos(person, row.pavement).filter(pk=pk).exists()):
        raise Http404("No such photo.")
    return _readable(person, row.pavement, row, to)


Record = TypeVar("Record", bound=Entry)


def _readable(person: Person, pavement: Pavement, row: Record, to: str) -> Record:
    if not sees(person, pavement):
        raise Http404("No such pavement.")
    rights = rights_at(person, pavement)
    if to == "correct":
        if not is_own(person, pavement, row):
            raise PermissionDenied("Only the side that wrote this entry may correct it.")
    elif to != "read" and rights.organisation_for(to) is None:
        raise PermissionDenied("Your seat at this pavement does not allow this.")
    return row


def is_own(person: Person, pavement: Pavement, row: Entry) -> bool:
    """Say whether a person's side wrote an entry and still holds a seat."""
    own = {s.organisation_id for s in rights_at(person, pavement).open_seats}
    return row.entered_for_id in own


def may_move(person: Person, defect: Defect) -> bool:
    """Say whether a person may move a defect's state: its keepers; others their own side's only."""
    rights = rights_at(person, defect.pavement)
    if rights.organisation_for("record_defect") is None:
        return False
    return bool(rights.roles & {Role.OWNER, Role.MANAGER}) or is_own(
        person, defect.pavement, defect
    )
