"""The record of a pavement as people enter and correct it: facts, state, numbers, what belongs."""

import hashlib
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from registry import access
from registry.actions.add_pavement import add_pavement
from registry.actions.correct_entry import correct_entry
from registry.actions.move_pavement import move_pavement, moves_from
from registry.actions.number_pavement import number_pavement, take_back_number
from registry.forms.pavement import MoveForm, NewPavementForm, NumberForm, PavementForm
from registry.forms.reason import ReasonForm
from registry.forms.site import NewSiteForm
from registry.gathering.area_doubt import AreaDoubt, area_doubt
from registry.gathering.entry_words import entry_words
from registry.gathering.facts import Fact, entry_facts, record_facts
from registry.gathering.layouts import current_plan, find_layout
from registry.models import Organisation, Pavement, Section, Site
from registry.models.entry import Entry
from registry.models.together import together
from registry.units import System
from registry.views.corrected import tell_corrected
from registry.views.entry import try_action
from registry.views.parents import NOUNS, OF_A_PAVEMENT, Noun, until
from registry.views.pavement import local_today
from registry.views.site import sites_kept
from registry.views.title import title_block_of

DEMANDS = frozenset({"criteria", "run_on"})
"""What a pavement has to do, which a tester's or sweeper's seat does not show."""


@require_http_methods(["GET", "POST"])
def pavement_add(request: HttpRequest) -> HttpResponse:
    """Add a pavement at a site that is there or new."""
    sites = access.visible_sites(request.user).filter(void_at__isnull=True).order_by("name", "pk")
    form = NewPavementForm(
        request.POST or None,
        sites=sites,
        organisations=access.organisations_of(request.user),
        system=request.user.shown_system,
        initial={"site": request.GET.get("site", "")},
    )
    own = sites_kept(request.user)
    new_site = NewSiteForm(request.POST or None, prefix="site", known=sites, own=own)
    if request.method == "POST" and form.is_valid():
        site = form.cleaned_data["site"] or (new_site.site() if new_site.is_valid() else None)
        row = _stored(request, form, site)
        if row is not None:
            told = f"{row} is in the record. Its plan comes next."
            messages.success(request, told, extra_tags="pavement-add")
            return redirect("pavement_edit", row.pk)
    asks_site = request.method == "POST" and not request.POST.get("site")
    context = {"form": form, "new_site": new_site, "asks_site": asks_site}
    return render(request, "pavement/add.html", context)


def _stored(request: HttpRequest, form: NewPavementForm, site: Site | None) -> Pavement | None:
    if site is None:
        return None
    given = form.cleaned_data
    return try_action(
        form,
        add_pavement,
        form.entry(),
        site=site,
        number=given["number"],
        by=request.user,
        organisation=given["organisation"],
    )


MAY_HERE = ("read", "edit", "set_criteria", "record_test")


@require_http_methods(["GET"])
def pavement_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Show all that is on record of a pavement, each with the way to put it right."""
    pavement = access.get_pavement(request.user, pk)
    may = {what: access.may(request.user, pavement, what) for what in MAY_HERE}
    may_see = access.may_see_criteria(request.user, pavement)
    seats = access.rights_at(request.user, pavement).open_seats
    context = {
        "pavement": pavement,
        "head": title_block_of(request.user, pavement, as_of=local_today(pavement)),
        "facts": record_facts(pavement, System(request.user.shown_system)),
        "may": may,
        "numbers": pavement.numbers.select_related("organisation").order_by("pk"),
        "own": {seat.organisation_id for seat in seats},
        "parts": [
            part
            for part in _parts(request, pavement, may)
            if may_see or part["name"] not in DEMANDS
        ],
        "plan": current_plan(pavement),
    }
    return render(request, "pavement/record.html", context)


def _parts(request: HttpRequest, pavement: Pavement, may: dict[str, bool]) -> list[dict[str, Any]]:
    system = System(request.user.shown_system)
    left_at = access.rights_at(request.user, pavement).last_end
    nouns: list[tuple[str, Noun]] = [(name, NOUNS[name]) for name in OF_A_PAVEMENT]
    found = together(*(until(left_at, noun.form.rows(pavement)) for _, noun in nouns))
    own = access.own_sections(request.user, pavement)
    if own is not None:
        found = [[row for row in rows if _section_of(row) in {None, *own}] for rows in found]
    return [
        {
            "name": name,
            "kind": noun,
            "rows": [(row, entry_words(row, system), _all(noun, row, system)) for row in rows],
            "has_left": left_at is not None,
            "may_write": may[noun.right],
        }
        for (name, noun), rows in zip(nouns, found, strict=True)
    ]


def _section_of(row: Entry) -> int | None:
    return row.pk if isinstance(row, Section) else getattr(row, "section_id", None)


def _all(noun: Noun, row: Entry, system: System) -> tuple[Fact, ...]:
    return entry_facts(row, noun.form._meta.fields or (), noun.form.quantities, system)


@require_http_methods(["GET", "POST"])
def pavement_correct(request: HttpRequest, pk: int) -> HttpResponse:
    """Correct the facts of a pavement; an area that its panels contradict is asked about once."""
    pavement = access.get_pavement(request.user, pk, to="edit")
    organisation = access.acting_organisation(request.user, pavement, "edit")
    form = PavementForm(request.POST or None, instance=pavement, system=request.user.shown_system)
    reason, doubt = ReasonForm(request.POST or None), None
    if request.method == "POST" and all([form.is_valid(), reason.is_valid()]):
        changes, doubt = form.changes(), _doubt(request, pk, form)
        if doubt is None or request.POST.get("shown") == _digest(doubt):
            given = {"changes": changes, "why": reason.cleaned_data["why"]}
            if try_action(
                form, correct_entry, pavement, by=request.user, organisation=organisation, **given
            ):
                tell_corrected(request, pavement)
                return redirect("pavement_edit", pk)
    context = {"form": form, "reason": reason, "doubt": doubt, "shown": _digest(doubt)}
    return render(request, "pavement/correct.html", {"pavement": pavement, **context})


def _doubt(request: HttpRequest, pk: int, form: PavementForm) -> AreaDoubt | None:
    if "area_m2" not in form.changes():
        return None
    stored = access.get_pavement(request.user, pk)
    found = find_layout(stored)
    if found.trouble:
        messages.warning(request, f"The area was not compared with the plan: {found.trouble}")
    return area_doubt(
        form.cleaned_data["area_m2"],
        found.layout,
        on=local_today(stored),
        system=form.chosen_system,
    )


def _digest(doubt: AreaDoubt | None) -> str:
    if doubt is None:
        return ""
    return hashlib.sha256((doubt.message + doubt.mend).encode()).hexdigest()[:16]


@require_http_methods(["GET", "POST"])
def pavement_move(request: HttpRequest, pk: int) -> HttpResponse:
    """Move a pavement to its next state."""
    pavement = access.get_pavement(request.user, pk, to="edit")
    organisation = access.acting_organisation(request.user, pavement, "edit")
    today, moves = local_today(pavement), moves_from(pavement)
    form = MoveForm(request.POST or None, moves=moves, initial={"on": today})
    if request.method == "POST" and form.is_valid():
        given = {**form.cleaned_data, "by": request.user, "organisation": organisation}
        if try_action(form, move_pavement, pavement, today=today, **given):
            messages.success(request, f"{pavement} is {pavement.get_state_display()}.")
            return redirect("pavement_edit", pk)
    context = {"pavement": pavement, "form": form, "moves": moves}
    return render(request, "pavement/move.html", context)


@require_http_methods(["GET", "POST"])
def pavement_number(request: HttpRequest, pk: int) -> HttpResponse:
    """Give the pavement the number by which one's own organisation knows it."""
    pavement = access.get_pavement(request.user, pk)
    form = NumberForm(request.POST or None, organisations=_numbering(request, pavement))
    if request.method == "POST" and form.is_valid():
        given = {**form.cleaned_data, "by": request.user}
        if try_action(form, number_pavement, pavement, **given):
            messages.success(request, "The number stands beside those of others.")
            return redirect("pavement_edit", pk)
    return render(request, "pavement/number.html", {"pavement": pavement, "form": form})


def _numbering(request: HttpRequest, pavement: Pavement) -> Any:
    """Return the organisations of the person that hold a seat there now: each may number it."""
    held = {s.organisation_id for s in access.rights_at(request.user, pavement).open_seats}
    return access.organisations_of(request.user).filter(pk__in=held)


@require_http_methods(["GET", "POST"])
def pavement_number_take_back(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Take back a number that one's own organisation wrote by mistake."""
    pavement = access.get_pavement(request.user, pk)
    own = _numbering(request, pavement)
    number = get_object_or_404(pavement.numbers.filter(organisation__in=own), pk=row)
    form = ReasonForm(request.POST or None)
    organisation: Organisation = number.organisation
    if request.method == "POST" and form.is_valid():
        given = {**form.cleaned_data, "by": request.user, "organisation": organisation}
        if try_action(form, take_back_number, number, **given):
            messages.success(request, "The number is taken back; the journal keeps it.")
            return redirect("pavement_edit", pk)
    context = {"pavement": pavement, "form": form, "number": number}
    return render(request, "pavement/number_take_back.html", context)
