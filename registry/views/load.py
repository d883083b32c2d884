"""Loads of a placing day: written down with their figures live, corrected, moved."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from registry import access
from registry.access.placing import (
    correcting_side,
    get_load,
    get_placing_day,
    may_write,
    sees_inside,
    writing_side,
)
from registry.actions.add_load import add_load
from registry.actions.correct_entry import correct_entry
from registry.forms.load import LoadForm
from registry.forms.reason import ReasonForm
from registry.gathering.claim_words import PLACING
from registry.gathering.load_figures import figures_of
from registry.models import Load, PlacingDay
from registry.numerals import whole_number
from registry.views.corrected import tell_corrected
from registry.views.entry import try_action
from registry.views.signed_move import move_page


@require_http_methods(["GET", "POST"])
def load_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down a load."""
    day = get_placing_day(request.user, pk, to="write")
    side = writing_side(request.user, day)
    form = LoadForm(request.POST or None, parent=day, system=day.system, initial=_like_last(day))
    if request.method == "POST" and form.is_valid():
        row = try_action(form, add_load, form.entry(), by=request.user, organisation=side)
        if row is not None:
            messages.success(request, f"Stored: {row}.", extra_tags=f"load-{day.pk}")
            return redirect("placing_day_page", pk)
    return _shown(request, day, "add", form=form)


@require_http_methods(["GET", "POST"])
def load_correct(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Correct a load by a line."""
    day, load = _find(request, pk, row)
    side = correcting_side(request.user, day)
    form = LoadForm(request.POST or None, instance=load, parent=day, system=load.system)
    reason = ReasonForm(request.POST or None)
    if request.method == "POST" and all([form.is_valid(), reason.is_valid()]):
        given = {"changes": form.changes(), "why": reason.cleaned_data["why"]}
        if try_action(form, correct_entry, load, by=request.user, organisation=side, **given):
            tell_corrected(request, load)
            return redirect("placing_day_page", pk)
    lines = access.visible_lines_about(request.user, load)
    return _shown(request, day, "correct", form=form, reason=reason, row=load, lines=lines)


@require_POST
def load_figures(request: HttpRequest, pk: int) -> HttpResponse:
    """Answer with what follows from a load while it is typed; nothing is stored."""
    day = get_placing_day(request.user, pk)
    correcting_side(request.user, day)
    form = LoadForm(request.POST, parent=day, system=day.system)
    form.is_valid()
    stored = day.loads.filter(pk=whole_number(request.POST.get("of", "")) or 0).values(
        "pk", "system"
    )
    known = next(iter(stored), {"pk": None, "system": form.chosen_system.value})
    row: Any = Load(placing_day=day, **known)
    for name, value in form.cleaned_data.items():
        if name in form.columns and name not in form.errors:
            setattr(row, name, value)
    figures = figures_of(day, [row], [], list(day.weather.standing()))
    return render(request, "load/_figures.html", {"one": figures[0], "day": day})


@require_http_methods(["GET", "POST"])
def load_move(request: HttpRequest, pk: int, row: int) -> HttpResponse:
    """Move a load on, or back with a reason."""
    day, load = _find(request, pk, row)
    side = correcting_side(request.user, day)
    back = reverse("placing_day_page", args=[pk])
    return move_page(request, load, pavement=day.pavement, side=lambda state: side, back=back)


@require_safe
def load_spreads(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a load: as written, what follows, its limits, its moves and every correction."""
    load = get_load(request.user, pk)
    day, rows = load.placing_day, list(load.spreads.all())
    weather = list(day.weather.standing())
    more: dict[str, Any] = {
        "load": load,
        "rows": rows,
        "one": figures_of(day, [load], rows, weather)[0],
        "moves": load.moves.select_related("by", "by_organisation"),
        "lines": access.visible_lines_about(request.user, load),
        "may_write": may_write(request.user, day),
        "may_correct": sees_inside(request.user, day),
    }
    return _shown(request, day, "spreads", **more)


def _find(request: HttpRequest, pk: int, row: int) -> tuple[PlacingDay, Load]:
    day = get_placing_day(request.user, pk)
    load = day.loads.filter(pk=row, void_at__isnull=True).first()
    if load is None:
        raise Http404("No such load.")
    return day, load


def _like_last(day: PlacingDay) -> dict[str, Any]:
    """Return what is the same from load to load, and the next number."""
    last = day.loads.standing().order_by("-order_on_day", "-pk").first()
    if last is None:
        return {"number": "1"}
    number = str(int(last.number) + 1) if last.number.isdecimal() else ""
    return {"number": number, "plant": last.plant, "mix": last.mix}


def _shown(request: HttpRequest, day: PlacingDay, name: str, **more: Any) -> HttpResponse:
    context = {"day": day, "pavement": day.pavement, "cautions": PLACING, **more}
    return render(request, f"load/{name}.html", context)
