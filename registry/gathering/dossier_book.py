"""A callback's whole dossier gathered into a book, from rows that were already allowed.

Who may see what is decided before: `access.dossiers` gives the rows to a person, `whole_record`
gives them to whoever runs the record. Neither ever gives notes kept inside or a crew by task.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from registry.dossier import Book, add_every_figure, number, words
from registry.gathering.dossier_cells import cell
from registry.gathering.dossier_claim import (
    add_claim,
    add_papers,
    add_recurrences,
    add_repairs,
    add_winter,
)
from registry.gathering.dossier_looks import add_looks, add_outlined
from registry.gathering.dossier_placing import (
    add_cores,
    add_days,
    add_plan,
    add_tests,
    claimed_concrete,
)
from registry.gathering.outlined_shares import raveling_rows
from registry.gathering.recurrences import Recurrence, recurrences_under
from registry.gathering.winter_zone import does_reach, said_zone
from registry.imaging import Kind
from registry.models import (
    Callback,
    CallbackNote,
    Core,
    Defect,
    DefectLink,
    InfiltrationTest,
    Observation,
    Pavement,
    Photo,
    PlacingDay,
    RaveledShare,
    Repair,
    Visit,
    WinterEntry,
)
from registry.placing.winter_zone import SAID

OF_A_CLAIM = ("acceptance", "complaint", "warranty", "hand_over")
"""Reasons of tests that go into a dossier; others only where they are attached."""
NOT_THEIRS = "the side that asks has a view of it, not the original"
LOST = "the media folder no longer holds it as it came in"


@dataclass(frozen=True)
class DossierRows:
    """Rows that the asking side may see.

    raveling      what the questions of `outlined_shares.raveling_rows` found
    original_ids  photos whose original it may have
    """

    days: Sequence[PlacingDay]
    looks: Sequence[RaveledShare]
    raveling: Sequence[Sequence]
    cores: Sequence[Core]
    tests: Sequence[InfiltrationTest]
    photos: Sequence[Photo]
    winter: Sequence[WinterEntry]
    notes: Sequence[CallbackNote]
    repairs: Sequence[Repair]
    came_back: Sequence[Recurrence]
    original_ids: frozenset[int]


DAY_PARTS = (
    "loads__spreads",
    "weather",
    "covers",
    "cover_walks",
    "cover_breaks",
    "uncovers",
    "early_loads",
)


def whole_record(callback: Callback) -> DossierRows:
    """Return all that both sides may share, for whoever runs the record itself."""
    pavement = callback.pavement
    photos = list(
        Photo.objects.standing()
        .filter(attached_to__callback=callback, attached_to__void_at=None, shown_to="all")
        .distinct()
    )
    return DossierRows(
        days=list(PlacingDay.objects.standing().filter(pavement=pavement).select_related("repair")),
        looks=list(RaveledShare.objects.standing().filter(pavement=pavement)),
        raveling=_every_raveling(pavement),
        cores=list(Core.objects.standing().filter(callback=callback)),
        tests=list(InfiltrationTest.objects.done().filter(pavement=pavement)),
        photos=photos,
        winter=list(WinterEntry.objects.standing().filter(pavement=pavement)),
        notes=list(CallbackNote.objects.standing().filter(callback=callback, inside_of=None)),
        repairs=list(Repair.objects.standing().filter(callback=callback)),
        came_back=_every_recurrence(callback),
        original_ids=frozenset(photo.pk for photo in photos),
    )


def _every_recurrence(callback: Callback) -> list[Recurrence]:
    links = DefectLink.objects.filter(defect__pavement=callback.pavement_id)
    repairs = Repair.objects.filter(pavement=callback.pavement_id)
    there = links.select_related("defect__panel", "other__panel")
    return recurrences_under(callback, there, repairs)


def _every_raveling(pavement: Pavement) -> list[list]:
    defects = Defect.objects.filter(pavement=pavement)
    looks = Observation.objects.filter(defect__pavement=pavement)
    questions = raveling_rows(pavement, defects, looks, Visit.objects.filter(pavement=pavement))
    return [list(rows) for rows in questions]


def book_of(
    callback: Callback,
    rows: DossierRows,
    files: Mapping[int, str],
    *,
    system: str,
    prepared: str,
) -> Book:
    """Put a dossier together. files: photo to its name in the archive, where its original goes in.

    `system` is the units in which cores are compared.
    """
    zone = ZoneInfo(callback.pavement.site.time_zone)
    book = Book()
    concrete = claimed_concrete(callback, rows.days)
    placed = concrete.placed
    since = min(placed, default=date.min)
    said = said_zone(callback.evidence.standing())
    zone_of, zone_rule = _winter_zone(
        callback, said, [x for x in rows.winter if x.done_on >= since]
    )
    add_plan(book, callback, concrete, zone_of, said)
    add_days(book, sorted(concrete.days, key=lambda row: (row.placed_on, row.pk)), zone)
    add_looks(book, rows.looks)
    add_outlined(book, concrete, rows.raveling)
    add_tests(book, rows.tests)
    add_cores(book, rows.cores, system)
    _add_photos(book, rows, files, zone)
    add_winter(book, rows.winter)
    add_claim(book, callback, zone, prepared=prepared, zone_rule=zone_rule)
    add_papers(book, callback, rows.notes, zone)
    add_repairs(book, rows.repairs)
    add_recurrences(book, rows.came_back)
    add_every_figure(book)
    return book


def _winter_zone(
    callback: Callback, said: Mapping[str, bool], winter: Iterable[WinterEntry]
) -> tuple[dict[str, bool | None], str]:
    """Panels in or out of the plow or salt zone since placing, and the rule that said so.

    What people said at the panels goes before what the lines of the log name. `winter` holds the
    lines since the concrete was placed: salt on what lay there before tells nothing of it.
    """
    if said:
        return {name: said.get(name, False) for name in _every_name(callback, said)}, SAID
    logged = {panel for row in winter if does_reach(row) for panel in row.panels}
    if not logged:
        return {}, "No line of the log since this concrete was placed names a panel."
    found: dict[str, bool | None] = {
        name: name in logged for name in _every_name(callback, dict.fromkeys(logged))
    }
    return found, "Panels that lines of the log name for salt, or for a plow without shoes."


def _every_name(callback: Callback, more: Mapping[str, Any]) -> set[str]:
    standing = callback.pavement.panels.standing()
    return {panel.name for panel in standing} | set(more)


def _add_photos(book: Book, rows: DossierRows, files: Mapping[int, str], zone: ZoneInfo) -> None:
    for photo in rows.photos:
        true_at = photo.true_at.astimezone(zone) if photo.true_at else None
        left_out = "" if photo.pk in files else LOST
        if photo.pk not in rows.original_ids:
            left_out = NOT_THEIRS
        place = photo.panel.name if photo.panel else photo.place
        known = photo.get_place_known_by_display()
        handling = (
            photo.true_how,
            f"place by {known}" if known else "",
            f"sent by {photo.get_sent_by_display()}" if photo.sent_by else "",
            f"scale: {photo.get_scale_display()}" if photo.scale else "",
        )
        book.add(
            "photos",
            photo.number or f"photo {photo.pk}",
            {
                "shows": words(photo.note or photo.get_subject_display()),
                "camera_time": cell(photo, "camera_time"),
                "true_time": words(f"{true_at:%Y-%m-%d %H:%M}" if true_at else ""),
                "undated": words("undated" if photo.is_undated else ""),
                "place": words(place),
                "handling": words("; ".join(filter(None, handling))),
                "kind": words(Kind(photo.file.kind).value),
                "bytes": number(photo.file.bytes_long),
                "sha256": words(photo.file.sha256),
                "file": words(files.get(photo.pk, "")),
                "left_out": words(left_out),
            },
        )
