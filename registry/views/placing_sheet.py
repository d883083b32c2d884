"""Sheets of a placing day: print its load sheet or cover walk cards, copy a load sheet in."""

from functools import partial
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from registry.access.load_sheets import day_of_sheet, days_to_copy_to, printing_side
from registry.access.placing import get_placing_day, writing_side
from registry.access.sheets import get_sheet
from registry.actions.copy_load_sheet import LoadRead, copy_load_sheet, hold_load_double
from registry.actions.print_sheet import print_sheet
from registry.faults import DomainError
from registry.forms.load_copy import CopiedLoads
from registry.forms.sheet import DaySheetForm
from registry.gathering.layouts import current_plan
from registry.models import PlacingDay, PrintedSheet, SheetCopy, SheetKind
from registry.models.choices import ReadingSystem
from registry.numerals import whole_number
from registry.sheets.contents import Content
from registry.sheets.gathered import OF_A_DAY, TITLES, heading_of
from registry.sheets.printing import draw_sheet, kept_of
from registry.units import System
from registry.views.copied import answer_copied
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.title import title_block_of


@require_http_methods(["GET", "POST"])
def placing_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """Print the load sheet or the cover walk cards of a day."""
    day = get_placing_day(request.user, pk)
    printing_side(request.user, day)
    paper = "a4" if day.system == ReadingSystem.SI else "letter"
    first = {"kind": SheetKind.LOAD, "system": day.system, "paper": paper}
    form = DaySheetForm(request.POST or None, initial=first)
    if request.method == "POST" and form.is_valid():
        try:
            return _printed(request, day, **form.cleaned_data)
        except DomainError as fault:
            form.add_error(None, fault.message)
    context = {"day": day, "pavement": day.pavement, "form": form}
    return render(request, "placing_sheet/print.html", context)


def _printed(
    request: HttpRequest, day: PlacingDay, *, kind: str, paper: str, system: str
) -> HttpResponse:
    content = _content(request, day, kind, System(system))
    done = print_sheet(
        kind=kind,
        draw=partial(_draw, content, paper),
        content=kept_of(content),
        system=system,
        paper=paper,
        pavement=day.pavement,
        by=request.user,
        organisation=printing_side(request.user, day),
    )
    headers = {"Content-Disposition": f'inline; filename="{done.row.number}.pdf"'}
    return HttpResponse(done.pdf, content_type="application/pdf", headers=headers)


def _content(request: HttpRequest, day: PlacingDay, kind: str, system: System) -> Content:
    pavement, own = day.pavement, printing_side(request.user, day)
    title, on = TITLES[SheetKind(kind)], local_today(pavement)
    heading = heading_of(title, pavement, current_plan(pavement), system, on, own)
    return OF_A_DAY[kind](day, heading)


def _draw(content: Content, paper: str, number: str) -> Any:
    return draw_sheet(content, number=number, public_url=settings.PUBLIC_URL, paper=paper)


@require_http_methods(["GET", "POST"])
def load_copy_in(request: HttpRequest, number: str) -> HttpResponse:
    """Type in a load sheet in its own order; the first copy makes the loads."""
    sheet = get_sheet(request.user, number)
    if sheet.kind != SheetKind.LOAD:
        messages.error(request, f"{sheet} is no load sheet; its page says what it is.")
        return redirect("sheet_page", number)
    day = day_of_sheet(request.user, sheet, whole_number(request.GET.get("day", "")))
    if day is None:
        return which_day(request, sheet, "load_copy_in")
    data = request.POST if request.method == "POST" else None
    copying = CopiedLoads(day, data=data, system=sheet.system)
    if request.method == "POST" and "more_rows" not in request.POST:
        copy = _store(request, sheet, copying)
        if copy is not None:
            return answer_copied(request, copy, "placing_day_page", copy.placing_day_id)
    return _page(request, sheet, copying)


def which_day(request: HttpRequest, sheet: PrintedSheet, copy_to_day: str) -> HttpResponse:
    """Ask of which placing day a sheet is that was printed blank."""
    context = {"sheet": sheet, "days": days_to_copy_to(request.user), "copy_to_day": copy_to_day}
    return render(request, "placing_sheet/copy_of.html", context)


def _store(request: HttpRequest, sheet: PrintedSheet, copying: CopiedLoads) -> SheetCopy | None:
    """Store the copy; None where something has to be put right first, which the rows say."""
    given: dict[str, Any] = {"typed": copying.typed(), "by": request.user}
    given["organisation"] = writing_side(request.user, copying.day)
    double = hold_load_double(sheet, **given) if given["typed"] else None
    if double is not None:
        return double
    if not copying.is_valid():
        return None
    loads = [LoadRead(load, spreads) for load, spreads in copying.read()]
    given |= {"day": copying.day, "loads": loads}
    found: SheetCopy | None = try_action(copying.head, copy_load_sheet, sheet, **given)
    return found


def _page(request: HttpRequest, sheet: PrintedSheet, copying: CopiedLoads) -> HttpResponse:
    day = copying.day
    context = {
        "sheet": sheet,
        "day": day,
        "copying": copying,
        "head": title_block_of(request.user, day.pavement, as_of=local_today(day.pavement)),
        "first": sheet.copies.filter(is_double=False).select_related("copied_by").first(),
    }
    return render(request, "placing_sheet/copy_in.html", context)
