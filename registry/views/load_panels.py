"""From load to panel: loads laid over the plan, what each raveled, and the pattern by load."""

from collections.abc import Collection
from typing import Any

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.views.decorators.http import require_http_methods, require_safe

from registry import access
from registry.access.callbacks import visible_callbacks, visible_winter_log
from registry.access.defects import (
    visible_defects,
    visible_observations,
    visible_visits,
)
from registry.access.placing import visible_placing_days, visible_raveled_shares
from registry.actions.add_entries import add_entries
from registry.drawing.svg import to_svg
from registry.faults import DomainError
from registry.forms.load_compare import LoadCompareForm
from registry.forms.raveled_share import RaveledSharesForm
from registry.gathering.claim_words import NOT_LIABLE
from registry.gathering.load_page import (
    Zone,
    break_rows,
    fits_no_pattern,
    look_figures,
    picture_of,
    winter_figures,
)
from registry.gathering.load_pattern import Look, PlacedLoads, placed_loads
from registry.gathering.outlined_shares import (
    Outlined,
    compared_first,
    every_look,
    key_of,
    raveling_rows,
)
from registry.gathering.winter_zone import said_rows, said_zone, zone_lines
from registry.models import CoverBreak, Pavement, PlacingDay
from registry.models.panel import plan_order
from registry.placing.groups import NOTABLE
from registry.placing.winter_zone import zone_between
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.title import title_block_of

PICTURE_MM = (110.0, 190.0)


@require_safe
def load_panels(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the loads in each panel, raveled shares by panel and load, and N18 for each factor."""
    pavement = access.get_pavement(request.user, pk)
    days = visible_placing_days(request.user, pavement).standing().filter(repair__isnull=True)
    all_days = list(days.in_order())
    chosen = [day for day in all_days if str(day.pk) == request.GET.get("day")] or all_days
    placed, seen, broken, said = _placed(request, pavement, chosen)
    looks = list(seen.looks)
    form = _form(request, placed, all_days, looks)
    context: dict[str, Any] = {
        "placed": placed,
        "form": form,
        "looks": looks,
        "untold": seen.untold,
        "panels": _panels(placed, looks),
        **_compared(placed, looks, form, _zone(request, pavement, form, said), broken),
        "may_grade": access.may(request.user, pavement, "record_raveling"),
    }
    return _shown(request, pavement, "page", **context)


Placed = tuple[PlacedLoads, Outlined, list[CoverBreak], dict[str, bool]]


def _placed(request: HttpRequest, pavement: Pavement, days: list[PlacingDay]) -> Placed:
    """Return the loads over the panels, every look at raveling, breaks, and the zone as seen."""
    placed, (shares, broken, said, *raveling) = placed_loads(
        pavement,
        days,
        visible_raveled_shares(request.user, pavement).standing(),
        break_rows(days),
        said_rows(visible_callbacks(request.user, pavement).standing()),
        *_raveling(request, pavement),
    )
    return placed, every_look(placed, shares, raveling), broken, said_zone(said)


def _raveling(request: HttpRequest, pavement: Pavement) -> tuple[QuerySet, ...]:
    return raveling_rows(
        pavement,
        visible_defects(request.user, pavement),
        visible_observations(request.user, pavement),
        visible_visits(request.user, pavement),
    )


def _form(
    request: HttpRequest, placed: PlacedLoads, days: list[PlacingDay], looks: list[Look]
) -> LoadCompareForm:
    names = list(placed.shares.areas_m2) if placed.shares else []
    choices = [(key_of(look), f"{look.on}, {look.word}") for look in looks]
    return LoadCompareForm(request.GET or None, names=names, days=days, looks=choices)


def _compared(
    placed: PlacedLoads,
    looks: list[Look],
    form: LoadCompareForm,
    find_zone: Zone,
    broken: list[CoverBreak],
) -> dict[str, Any]:
    """Return what is compared: late loads, the winter, what fits neither; and the picture."""
    chosen = compared_first(looks, form.look_chosen)
    first = look_figures(placed, chosen, form.late_min)
    winter = winter_figures(placed, chosen, find_zone)
    shown = chosen[:1] if form.look_chosen else looks
    zone = winter.zone if winter else form.zone_named
    return {
        "picture": _picture(placed, shown, zone, broken),
        "first": first,
        "beside": [x for x in looks if first and x is not first.look and x.on == first.look.on],
        "winter": winter,
        "alone": fits_no_pattern(placed, looks, first.late[0].late if first else (), zone),
        "notable": NOTABLE,
    }


def _zone(
    request: HttpRequest, pavement: Pavement, form: LoadCompareForm, said: dict[str, bool]
) -> Zone:
    """Return how to find the winter zone between two looks: as typed, as seen there, as logged."""

    def found(before: Look, after: Look, names: Collection[str]) -> tuple[set[str], str]:
        if form.zone_named:
            return set(form.zone_named), "As typed here to try it, kept nowhere."
        log = visible_winter_log(request.user, pavement).standing().in_order()
        return zone_between(said, zone_lines(log), before.on, after.on, names)

    return found


def _panels(placed: PlacedLoads, looks: list[Look]) -> list[tuple[str, str, list[Any]]]:
    if placed.shares is None:
        return []
    names = sorted(placed.shares.areas_m2, key=plan_order)
    return [
        (name, placed.shares.words_of(name), [(look, look.by_panel.get(name)) for look in looks])
        for name in names
    ]


def _picture(
    placed: PlacedLoads, looks: list[Look], zone: Collection[str], broken: list[CoverBreak]
) -> SafeString | str | None:
    try:
        in_order = sorted(broken, key=lambda row: (row.from_at, row.pk))
        drawing = picture_of(placed, looks, in_order, zone, PICTURE_MM)
    except DomainError as fault:
        return escape(fault.message)
    if drawing is None:
        return None
    return mark_safe(to_svg(drawing, id_prefix="loads"))  # our own drawing, its words escaped


@require_http_methods(["GET", "POST"])
def raveled_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Write down the raveled shares of many panels of one day."""
    pavement = access.get_pavement(request.user, pk, to="record_raveling")
    side = access.acting_organisation(request.user, pavement, "record_raveling")
    rows = pavement.panels.standing().filter(exists_to_on__isnull=True)
    names = sorted(rows.values_list("name", flat=True), key=plan_order)
    who = {"looked_on": local_today(pavement), "looked_by": request.user.name or str(request.user)}
    form = RaveledSharesForm(request.POST or None, pavement=pavement, names=names, initial=who)
    if request.method == "POST" and form.is_valid():
        entries = form.entries()
        if try_action(form, add_entries, entries, by=request.user, organisation=side) is not None:
            messages.success(request, f"Stored: {len(entries)} panels.")
            return redirect("load_panels", pk)
    return _shown(request, pavement, "grade", form=form, names=names)


def _shown(request: HttpRequest, pavement: Pavement, name: str, **more: Any) -> HttpResponse:
    head = title_block_of(request.user, pavement, as_of=local_today(pavement))
    context = {"pavement": pavement, "head": head, "not_liable": NOT_LIABLE, **more}
    return render(request, f"load_panels/{name}.html", context)
