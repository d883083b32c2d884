"""What stands on the line of a pavement's time: one event of each row, put into words."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import cast
from zoneinfo import ZoneInfo

from django.db.models import Field

from registry.gathering.journal_words import journal_words
from registry.models import (
    Cleaning,
    Criteria,
    InfiltrationTest,
    JournalLine,
    Panel,
    Pavement,
    Seat,
    Visit,
)
from registry.models.panel import plan_order
from registry.units import Kind, System, show

KINDS = {
    "placed": "placing and opening",
    "test": "infiltration tests",
    "cleaning": "cleanings",
    "visit": "inspection visits",
    "criteria": "design criteria",
    "panel": "panels",
    "seat": "seats",
    "correction": "corrections",
    "other": "other changes",
}
CORRECTING = frozenset(
    {"corrected", "void", "answered", "use changed", "double of", "changed", "taken back"}
)
"""Verbs of the journal that put something right."""
TOLD_ELSEWHERE = frozenset(
    {
        "added",
        "begun",
        "closed",
        "looked at",
        "walked",
        "written on",
        "recorded",
        "brought in",
        "placed",
        "seat given",
        "seat ended",
        "given",
        "ended",
        "replaced",
        "cut",
        "removed",
    }
)
"""Verbs of the journal whose row is itself on the line, by its own date."""


@dataclass(frozen=True)
class Event:
    """One line. `page` and `row_id` say what it opens; `is_set_aside` where it no longer counts.

    A panel's has its `name` and what happened to it in `verb`; a line of several names them in
    `each`. One of many lines of the journal has their keys in `keys`, and them in `folded`.
    """

    on: date
    kind: str
    what: str
    detail: str = ""
    page: str = ""
    row_id: int = 0
    is_set_aside: bool = False
    name: str = ""
    verb: str = ""
    each: tuple[str, ...] = ()
    keys: tuple[int, ...] = ()
    folded: tuple["Event", ...] = ()

    @property
    def kind_words(self) -> str:
        """Return the kind in words."""
        return KINDS[self.kind]


def together(events: Iterable[Event]) -> Iterator[Event]:
    """Tell panels to which the same happened on one day in one line that names each."""
    alike: dict[object, list[Event]] = {}
    for event in events:
        key = (event.on, event.verb) if event.name else len(alike)
        alike.setdefault(key, []).append(event)
    for group in alike.values():
        group.sort(key=lambda event: plan_order(event.name))
        first, last = group[0], group[-1]
        if len(group) == 1:
            yield first
            continue
        what = f"{len(group)} panels {first.verb}: {first.name} ... {last.name}"
        yield replace(first, what=what, each=tuple(event.name for event in group))


def placed_events(pavement: Pavement) -> Iterator[Event]:
    """Yield placing, opening and acceptance."""
    for name in (
        "placed_on",
        "placed_until_on",
        "opened_to_feet_on",
        "opened_to_wheels_on",
        "substantial_completion_on",
        "accepted_on",
    ):
        on = getattr(pavement, name)
        if on is not None:
            label = str(cast(Field, pavement._meta.get_field(name)).verbose_name)
            accepted_by = pavement.accepted_by if name == "accepted_on" else ""
            yield Event(on, "placed", label, f"by {accepted_by}" if accepted_by else "")


def infiltration_event(system: System) -> Callable[[InfiltrationTest], Event]:
    """Return what puts an infiltration test into words."""

    def tell(row: InfiltrationTest) -> Event:
        rate = row.no_result_reason or "no number"
        if row.result_rate_mm_h is not None:
            rate = show(row.result_rate_mm_h, Kind.RATE, system, sign=row.result_sign)
        reason = f"{row.get_reason_display()}; " if row.reason else ""
        void = f"Void: {row.void_why}" if row.is_void else ""
        use = f"{row.get_use_display()}{f', {row.use_reason}' if row.use_reason else ''}"
        return Event(
            row.started_on,
            "test",
            f"{row.spot}: {rate}",
            void or f"{reason}{use}",
            "infiltration_test_page",
            row.pk,
            row.is_void,
        )

    return tell


def cleaning_event(system: System) -> Callable[[Cleaning], Event]:
    """Return what puts a cleaning into words."""

    def tell(row: Cleaning) -> Event:
        parts = [
            "whole pavement" if row.covers_all else row.rows_text or "in part",
            f"missed: {row.missed_why}" if row.missed_why else "",
            show(row.debris_m3, Kind.VOLUME, system) + " of debris" if row.debris_m3 else "",
            row.why_not,
            f"void: {row.void_why}" if row.is_void else "",
        ]
        state = "" if row.state == "done" else f", {row.get_state_display()}"
        return Event(
            row.done_on,
            "cleaning",
            f"{row.get_method_display()}{state}",
            "; ".join(p for p in parts if p),
            "cleaning_page",
            row.pk,
            row.is_void or not row.is_cleaning,
        )

    return tell


def visit_event(row: Visit) -> Event:
    """Return the event of a visit."""
    state = "under way" if row.is_open else row.get_state_display()
    parts = [
        f"by {row.walked_by}",
        row.why_not,
        f"made safe at once: {row.made_safe}" if row.made_safe else "",
        f"void: {row.void_why}" if row.is_void else "",
    ]
    why = f", {row.reasons_in_words}" if row.reasons_in_words else ""
    return Event(
        row.done_on,
        "visit",
        f"Visit{why}: {state}",
        "; ".join(part for part in parts if part),
        "visit_page",
        row.pk,
        row.is_void,
    )


def criteria_events(rows: Iterable[Criteria], system: System) -> Iterator[Event]:
    """Yield the begin and end of each set of design criteria."""
    for row in rows:
        level = "action level worked out from run-on"
        if row.action_rate_mm_h is not None:
            level = f"action level {show(row.action_rate_mm_h, Kind.RATE, system, digits=1)}"
        if row.from_on is not None:
            yield Event(row.from_on, "criteria", f"Begins: {row.source_document}", level)
        if row.to_on is not None:
            yield Event(row.to_on, "criteria", f"Ends: {row.source_document}", level)


def panel_events(rows: Iterable[Panel]) -> Iterator[Event]:
    """Yield panels that came after the first placing, and panels that ended."""
    for row in rows:
        if row.exists_from_on is not None and (row.replaces_id or row.cut_from_id):
            yield _panel(row, row.exists_from_on, "drawn or placed anew")
        if row.exists_to_on is not None:
            yield _panel(row, row.exists_to_on, row.get_ended_as_display() or "ended")


def _panel(row: Panel, on: date, verb: str) -> Event:
    what = f"Panel {row.name}: {verb}"
    return Event(on, "panel", what, row_id=row.pk, name=row.name, verb=verb)


def seat_events(rows: Iterable[Seat], zone: ZoneInfo) -> Iterator[Event]:
    """Yield the begin and end of each seat, by the clock of the site."""
    for row in rows:
        what = f"{row.organisation}, {row.get_role_display()}"
        begin = row.from_at.astimezone(zone)
        yield Event(
            begin.date(), "seat", f"{what}: from {begin:%H:%M}", row.source_document, row_id=row.pk
        )
        if row.to_at is not None:
            end = row.to_at.astimezone(zone)
            yield Event(end.date(), "seat", f"{what}: until {end:%H:%M}", row_id=row.pk)


def _written(text: str, system: System) -> str:
    return journal_words(text, system) or "empty"


def kind_of_change(verb: str) -> str:
    """Return the kind of event that a line of the journal is."""
    return "correction" if verb in CORRECTING else "other"


def folded_event(event: Event, rows: Mapping[int, JournalLine], told: Mapping[int, Event]) -> Event:
    """Return the one line of all that was entered at one go; each of its lines opens below it."""
    written = [rows[key] for key in event.keys if key in rows]
    by = f" {who}" if written and (who := _by_whom(written[0])) else ""
    count = f"{len(written)} line{'' if len(written) == 1 else 's'}"
    lines = tuple(told[row.pk] for row in written)
    return replace(event, what=f"Record entered{by}: {count}", folded=lines)


def _by_whom(row: JournalLine) -> str:
    by = f"by {row.by}" if row.by else ""
    return f"{by}, {row.by_organisation}" if by and row.by_organisation else by


def change_events(rows: Iterable[JournalLine], zone: ZoneInfo, system: System) -> Iterator[Event]:
    """Yield lines of the journal, dated by the clock of the site."""
    for row in rows:
        changes = "; ".join(
            f"{row.word_for(name)}: {_written(old, system)} → {_written(new, system)}"
            for name, (old, new) in row.changes.items()
        )
        detail = ". ".join(part for part in (changes, row.why, _by_whom(row)) if part)
        yield Event(
            row.at.astimezone(zone).date(),
            kind_of_change(row.verb),
            f"{row.subject_name} {row.verb}",
            detail,
            row_id=row.pk,
        )
