"""The page of one defect."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_safe

from registry import access
from registry.access.carried_defects import (
    visible_after_split,
    visible_before_split,
    visible_closed_before_split,
)
from registry.access.defects import (
    get_defect,
    may_move,
    visible_defects,
    visible_links,
    visible_observations,
    visible_photos,
)
from registry.access.recurring import all_visible_repairs, recurring_links
from registry.defects import RAVELING_SIGNS, evidence_for, kind_of
from registry.drawing.plan_marks import DefectMark
from registry.drawing.plan_picture import plan_picture
from registry.drawing.primitives import Symbol
from registry.drawing.svg import to_svg
from registry.faults import DomainError
from registry.forms.defect import LinkForm
from registry.forms.evidence import EvidenceForm
from registry.forms.reason import ReasonForm
from registry.gathering.before_split import BeforeSplit, standing_looks
from registry.gathering.claim_words import NOT_LIABLE
from registry.gathering.defect_growth import growths
from registry.gathering.defect_looks import look_lines
from registry.gathering.defects import (
    haste_of,
    position_in_words,
    station_of,
)
from registry.gathering.inside_tests import look_inside
from registry.gathering.layouts import fetch_plans, find_layout
from registry.gathering.plan_defects import shape_of
from registry.gathering.recurrences import recurrences
from registry.models import Defect, DefectMove, Observation, Person
from registry.plan.layout import Layout
from registry.units import System
from registry.views.defect_changes import move_form
from registry.views.pavement import local_today
from registry.views.title import title_block_of

PICTURE_MM = (90.0, 90.0)
RAVELED = ("raveling", "edge_raveling")


@require_safe
def defect_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a defect: where it is, every look at it, how it grew, its moves, links and photos."""
    row = get_defect(request.user, pk)
    pavement = row.pavement
    fetch_plans(pavement)
    looks = list(visible_observations(request.user, pavement).filter(defect=row).in_order())
    before = _before_split(request.user, row)
    seen = _seen(request, row, looks, before)
    context = {
        "row": row,
        "kind": kind_of(row.kind),
        "head": title_block_of(request.user, pavement, as_of=local_today(pavement)),
        "photos": visible_photos(request.user, pavement).filter(defect=row).in_order().for_list(),
        **seen,
        **_place(request, row),
        "lines": access.visible_lines_about(request.user, row),
        **_links(request, row),
        "before": before,
        "after": visible_after_split(request.user, row),
        **_inside(request, row, before),
        **_evidence(request, row),
        **_may(request, row, looks, seen["moves"]),
    }
    return render(request, "defect/page.html", context)


def _before_split(person: Person, row: Defect) -> list[BeforeSplit]:
    """What it was before its pavement was split, as far as the person sees that."""
    system = System(person.shown_system)
    found = []
    for old in visible_before_split(person, row):
        looks = visible_observations(person, old.pavement).filter(defect=old).in_order()
        photos = visible_photos(person, old.pavement).filter(defect=old).in_order()
        found.append(BeforeSplit(old, look_lines(old.kind, looks, system), photos.for_list()))
    return found


def _seen(
    request: HttpRequest, row: Defect, looks: list[Observation], before: list[BeforeSplit]
) -> dict[str, Any]:
    """Looks, and what follows from those that stand."""
    system = System(request.user.shown_system)
    standing = standing_looks(looks, before)
    moves = list(row.moves.select_related("by", "by_organisation", "visit"))
    grown = growths(row, standing, moves, system)
    return {
        "looks": look_lines(row.kind, looks, system),
        "grown": grown,
        "haste": haste_of(row, standing, grown),
        "moves": moves,
    }


def _place(request: HttpRequest, row: Defect) -> dict[str, Any]:
    """Where it lies, by panel, by station, on earth and on a small plan."""
    system = System(request.user.shown_system)
    found = find_layout(row.pavement, system=system)
    return {
        "station": station_of(row, found.layout),
        "position": position_in_words(row),
        "picture": escape(found.trouble) or _picture(row, found.layout, system),
    }


def _picture(row: Defect, layout: Layout | None, system: System) -> SafeString | str:
    if layout is None or not row.outline:
        return ""
    sign = Symbol(kind_of(row.kind).mark)
    mark = DefectMark(row.number, shape_of(row.outline_kind, row.outline), sign)
    on = local_today(row.pavement)
    try:
        drawing = plan_picture(
            layout,
            on=on,
            size_mm=PICTURE_MM,
            system=system,
            known_defects=(mark,),
            is_trimmed=True,
        )
    except DomainError as fault:
        return escape(fault.message)
    # to_svg escapes every word that people wrote; only its own markup is left.
    return mark_safe(to_svg(drawing, id_prefix="plan"))


def _links(request: HttpRequest, row: Defect) -> dict[str, Any]:
    there = visible_links(request.user, row)
    known = {link.pk for link in there}
    before = recurring_links(request.user, [row]).get(row.pk, ()) if row.carried_from_id else ()
    links = [*there, *(link for link in before if link.pk not in known)]
    return {
        "came_back": recurrences(links, all_visible_repairs(request.user)),
        "not_liable": NOT_LIABLE,
        "links": [link for link in there if link.defect_id == row.pk],
        "links_back": [link for link in there if link.other_id == row.pk],
    }


def _inside(request: HttpRequest, row: Defect, before: list[BeforeSplit]) -> dict[str, Any]:
    """Tests in it, those before the split too: a part keeps the datum of the whole."""
    tests = access.visible_tests(request.user, row.pavement)
    for old in before:
        tests |= access.visible_tests(request.user, old.row.pavement)
    found = look_inside(row, tests.standing().select_related("spot__panel"))
    may_read = access.viewpoint_of(request.user, row.pavement) is not None
    return {"inside": found if may_read else None}


def _evidence(request: HttpRequest, row: Defect) -> dict[str, Any]:
    if row.kind not in RAVELED:
        return {"evidence_form": None}
    signs = {code: sign.label for code, sign in RAVELING_SIGNS.items()}
    asked = "starts_early" in request.GET
    form = EvidenceForm(request.GET if asked else None, signs=signs)
    found = evidence_for(form.facts, **form.known) if asked and form.is_valid() else None
    return {"evidence_form": form, "evidence": found}


def _may(
    request: HttpRequest, row: Defect, looks: list[Observation], told: list[DefectMove]
) -> dict[str, Any]:
    """Return what the person may do with it, and the forms for that."""
    may_record = access.may(request.user, row.pavement, "record_defect") and not row.is_void
    moves = may_record and may_move(request.user, row)
    today = {"on": local_today(row.pavement)}
    others = visible_defects(request.user, row.pavement).standing().exclude(pk=row.pk)
    closed = visible_closed_before_split(request.user, row.pavement) if moves else ()
    forms = {
        "move_form": move_form(row, told=told, initial=today),
        "link_form": LinkForm(others=others, closed=closed, initial=today, auto_id="link_%s"),
        "void_form": ReasonForm(auto_id="void_%s"),
    }
    seats = access.rights_at(request.user, row.pavement).open_seats
    own = {seat.organisation_id for seat in seats}
    return {
        "may_record": may_record,
        "may_move": moves,
        "is_author": row.entered_for_id in own and not row.is_void,
        "own_looks": {look.pk for look in looks if look.entered_for_id in own},
        **forms,
    }
