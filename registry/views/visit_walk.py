"""The walk of a visit under way: each answer is stored by itself, then it is signed and closed."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from registry import access
from registry.access.defects import get_visit, rows_to_walk
from registry.actions.answer_defect import answer_defect
from registry.actions.close_visit import close_visit
from registry.actions.correct_entry import CannotBeCorrected, correct_entry
from registry.actions.name_dirt import name_dirt
from registry.actions.walk_panels import walk_panels
from registry.defects import KINDS, Urgency
from registry.faults import DomainError
from registry.forms.sent_again import sent_again
from registry.forms.visit import (
    VisitCloseForm,
    VisitDirtForm,
    VisitGroundForm,
    VisitWaterForm,
)
from registry.forms.visit_answer import AnswerForm
from registry.forms.visit_panels import WalkedForm
from registry.gathering.known_defects import Known, Seen, extent_words, found_new, known_on
from registry.gathering.lip_alarm import alarm_of
from registry.gathering.visit_panels import panels_on, told_of, untold
from registry.gathering.visit_parts import VisitParts, visit_parts
from registry.models import Defect, Observation, Person, Visit
from registry.models.entry import Change
from registry.units import System
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.title import title_block_of

WRITTEN = "written on the walk"
PARTS = {"water": VisitWaterForm, "ground": VisitGroundForm, "dirt": VisitDirtForm}


@dataclass(frozen=True)
class WalkRow:
    """A known defect on the walk: its last look in words, the answer so far, its form."""

    known: Known
    form: AnswerForm
    last: str
    now: str
    alarm: Urgency | None


@require_http_methods(["GET", "POST"])
def visit_walk(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the walk; store one of its parts: panels, water, ground or dirt."""
    visit = get_visit(request.user, pk, to="correct")
    if not visit.is_open:
        return redirect("visit_page", pk)
    if request.method == "GET":
        return _page(request, visit)
    part = request.POST.get("part", "")
    form = _part_form(request, visit, part)
    if form.is_valid() and _store_part(request, visit, part, form):
        messages.success(request, "Stored.")
        return redirect(f"{reverse('visit_walk', args=[pk])}#{part}")
    return _page(request, visit, **{part: form})


@require_POST
def visit_answer(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Store the answer to one known defect."""
    visit = get_visit(request.user, pk, to="correct")
    defects, _ = rows_to_walk(request.user, visit.pavement)
    defect = get_object_or_404(defects, pk=row)
    old = visit.observations.standing().filter(defect=defect).first()
    form = _answer_form(request.user, defect, old, request.POST)
    if form.is_valid():
        look = try_action(
            form,
            answer_defect,
            form.observation(visit=visit, seen_on=visit.done_on),
            seen=form.cleaned_data["seen"],
            by=request.user,
            organisation=visit.entered_for,
        )
        if look is not None:
            _say(request, defect, look)
            return redirect(f"{reverse('visit_walk', args=[pk])}#d{row}")
        fresh = {form.add_prefix("seen"): str(old.pk) if old else ""}
        form.data = sent_again(form.data, fresh)
    return _page(request, visit, answered=form)


@require_http_methods(["GET", "POST"])
def visit_close(request: HttpRequest, pk: int) -> HttpResponse:
    """Sign and close the visit, or say that nobody could enter."""
    visit = get_visit(request.user, pk, to="correct")
    if request.method == "GET" or not visit.is_open:
        return redirect("visit_walk" if visit.is_open else "visit_page", pk)
    panels = panels_on(visit.pavement, visit.done_on)
    form = VisitCloseForm(request.POST, visit=visit, has_panels=bool(panels))
    if form.is_valid() and _close(request, visit, form, panels):
        visit.refresh_from_db()
        messages.success(request, f"The visit is closed: {visit.get_state_display()}.")
        return redirect("visit_page", pk)
    return _page(request, visit, close=form)


def _close(request: HttpRequest, visit: Visit, form: VisitCloseForm, panels: list[Any]) -> bool:
    if not _write(request, visit, form.changes(), form):
        return False
    given = form.cleaned_data
    closed = try_action(
        form,
        close_visit,
        visit,
        signed_by=given["signed_by"],
        seen=Seen(*rows_to_walk(request.user, visit.pavement)),
        panels=panels,
        ended_at=form.ended_at,
        next_due_on=given["next_due_on"],
        why_not_entered=given["why_not"],
        by=request.user,
        organisation=visit.entered_for,
    )
    return closed is not None


def _part_form(request: HttpRequest, visit: Visit, part: str) -> Any:
    data = request.POST or None
    if part == "panels":
        panels = panels_on(visit.pavement, visit.done_on)
        return WalkedForm(data, panels=panels, told=told_of(visit), auto_id="panels_%s")
    if part not in PARTS:
        part = "ground"
    return PARTS[part](
        data,
        instance=get_visit(request.user, visit.pk),
        parent=visit.pavement,
        system=request.user.shown_system,
        auto_id=f"{part}_%s",
    )


def _store_part(request: HttpRequest, visit: Visit, part: str, form: Any) -> bool:
    given: dict[str, Any] = {"by": request.user, "organisation": visit.entered_for}
    if part == "panels":
        try:
            walk_panels(visit, walked=form.walked_panels(), unseen=form.unseen_panels(), **given)
        except DomainError as fault:
            form.add_error(None, fault.message)
            return False
        return True
    if part != "dirt":
        return _write(request, visit, form.changes(), form)
    given |= {"known": form.cleaned_data.get("known") or (), "new": form.new_sources()}
    given["dropped"] = form.dropped_sources()
    if not _write(request, visit, form.changes(), form):
        return False
    return try_action(form, name_dirt, visit, **given) is not None


def _write(request: HttpRequest, visit: Visit, changes: dict[str, Change], form: BaseForm) -> bool:
    """Store what was written beside; what somebody else wrote meanwhile is never lost."""
    if not changes:
        return True
    try:
        correct_entry(
            visit,
            changes=changes,
            why=WRITTEN,
            by=request.user,
            organisation=visit.entered_for,
            verb="written on",
        )
    except CannotBeCorrected as fault:
        form.add_error(None, fault.message)
    except ValidationError as fault:
        form.add_error(None, ValidationError(fault.messages))
    else:
        return True
    return False


def _answer_form(
    person: Person, defect: Defect, answer: Observation | None, data: Any = None
) -> AnswerForm:
    kind = KINDS[defect.kind]
    return AnswerForm(
        data,
        defect=defect,
        unit=kind.unit,
        asks_lip="lip_m" in kind.asks,
        answer=answer,
        system=person.shown_system,
    )


def _say(request: HttpRequest, defect: Defect, look: Observation) -> None:
    """Tell at once of a lip that has to be made safe today."""
    alarm = alarm_of(defect, look)
    if alarm is not None and alarm.is_urgent:
        messages.error(request, f"No. {defect.number}: {alarm.why} {alarm.caution}")
    else:
        found = look.get_found_display()
        messages.success(request, f"Stored: no. {defect.number}, {found}.")


def _page(request: HttpRequest, visit: Visit, **bound: Any) -> HttpResponse:
    """The walk; `bound` holds the form that was refused, by the name of its part."""
    answered, there = bound.pop("answered", None), visit_parts(visit, with_looks=True)
    context = {
        "visit": visit,
        "pavement": visit.pavement,
        "head": title_block_of(request.user, visit.pavement, as_of=local_today(visit.pavement)),
        **_defects(request.user, visit, answered, there),
        **_parts(request.user, visit, there),
        **{f"{name}_form": form for name, form in bound.items()},
        "wells": there.wells,
        "readings": there.readings,
        "dirt": there.dirt_sources,
        "may_note": access.may(request.user, visit.pavement, "record_defect"),
        "may_photograph": access.may(request.user, visit.pavement, "add_photo"),
    }
    return render(request, "visit/walk.html", context)


def _parts(person: Person, visit: Visit, there: VisitParts) -> dict[str, Any]:
    """The parts of the walk as they stand, with what is still to be told of the panels."""
    panels, told = panels_on(visit.pavement, visit.done_on), there.told
    given = {"instance": visit, "parent": visit.pavement, "system": person.shown_system}
    dirt = {"sources": there.open_sources, "named": there.dirt_sources}
    return {
        "water_form": VisitWaterForm(auto_id="water_%s", **given),
        "ground_form": VisitGroundForm(auto_id="ground_%s", **given),
        "dirt_form": VisitDirtForm(auto_id="dirt_%s", **given, **dirt),
        "panels_form": WalkedForm(panels=panels, told=told, auto_id="panels_%s"),
        "close_form": VisitCloseForm(visit=visit, has_panels=bool(panels), auto_id="close_%s"),
        "panels": panels,
        "untold": untold(visit, panels, told),
        "unseen": [(panel, told[panel.pk]) for panel in panels if told.get(panel.pk)],
    }


def _defects(
    person: Person, visit: Visit, answered: AnswerForm | None, there: VisitParts
) -> dict[str, Any]:
    seen = Seen(*rows_to_walk(person, visit.pavement))
    rows = _rows(person, visit, seen, answered)
    return {
        "rows": rows,
        "answered": sum(row.known.answer is not None for row in rows),
        "left": sum(row.known.answer is None for row in rows),
        "new": _new(person, visit, there),
    }


def _rows(person: Person, visit: Visit, seen: Seen, answered: AnswerForm | None) -> list[WalkRow]:
    system = System(person.shown_system)
    rows = []
    for known in known_on(seen, visit.done_on, visit=visit):
        form = _answer_form(person, known.defect, known.answer)
        if answered is not None and answered.defect.pk == known.defect.pk:
            form = answered
        rows.append(
            WalkRow(
                known,
                form,
                _last_words(known, system),
                _words(known.defect, known.answer, system),
                alarm_of(known.defect, known.answer),
            )
        )
    return rows


def _last_words(known: Known, system: System) -> str:
    """What the last look told; where it told no size, what an earlier one did, with its day."""
    last = _words(known.defect, known.last, system)
    measured = known.measured
    if measured is None or measured == known.last:
        return last
    told = f"measured {measured.seen_on}: {_words(known.defect, measured, system)}"
    return "; ".join(filter(None, (last, told)))


def _words(defect: Defect, look: Observation | None, system: System) -> str:
    if look is None:
        return ""
    parts = [look.get_found_display() if look.found != "found" else "", look.why_not]
    parts += [extent_words(defect.kind, look, system), look.get_severity_display()]
    return ", ".join(filter(None, parts))


def _new(
    person: Person, visit: Visit, there: VisitParts
) -> list[tuple[Defect, str, Urgency | None]]:
    """Return the defects noted on this walk, with their extent and any alarm."""
    system = System(person.shown_system)
    looks = {look.defect_id: look for look in there.looks}
    return [
        (row, _words(row, looks.get(row.pk), system), alarm_of(row, looks.get(row.pk)))
        for row in found_new(visit).order_by("number")
    ]
