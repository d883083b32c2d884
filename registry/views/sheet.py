"""Printed sheets: print one, find one that came back, see what it was and what is on it."""

from functools import partial
from zoneinfo import ZoneInfo

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from registry import access
from registry.access.defects import rows_to_walk, visible_copies
from registry.access.load_sheets import may_copy_to_day
from registry.access.sheets import get_sheet, sheets_at, visible_sheets
from registry.access.work_orders import order_of_sheet
from registry.actions.print_sheet import print_sheet
from registry.actions.void_entry import mark_double
from registry.faults import DomainError
from registry.forms.sheet import BlankSheetForm, SheetForm, SheetNumberForm, likely_numbers
from registry.gathering.known_defects import Seen
from registry.gathering.printed_sheets import typed_twice
from registry.models import (
    InfiltrationTest,
    Organisation,
    Pavement,
    Person,
    PrintedSheet,
    SheetKind,
)
from registry.models.choices import ReadingSystem
from registry.sheets.contents import Content, DrawnSheet
from registry.sheets.gathered import blank_content, content_of
from registry.sheets.printing import draw_sheet, kept_of

SHOWN_AT_ONCE = 50
OPEN_THE_PAVEMENT = frozenset({SheetKind.INSPECTION, SheetKind.INFILTRATION})
"""Kinds whose square of dots leads to the pavement: the others are of an order, a day, a deed."""
COPY_TO_DAY = {"load": "load_copy_in", "cover": "cover_copy_in"}
"""Where sheets of a placing day are copied in."""


@require_safe
def sheet_list(request: HttpRequest) -> HttpResponse:
    """Find a sheet by its number, and see the last ones printed."""
    form = SheetNumberForm(request.GET or None)
    context = {"form": form, "most": SHOWN_AT_ONCE}
    context["sheets"] = visible_sheets(request.user)[:SHOWN_AT_ONCE]
    if form.is_valid() and (number := form.cleaned_data["number"]):
        if visible_sheets(request.user, [number]):
            return redirect("sheet_page", number)
        likely = likely_numbers(number)
        meant = visible_sheets(request.user, likely) if likely else []
        if not meant:
            form.add_error("number", _no_such(number))
        context["meant"] = meant
    return render(request, "sheet/list.html", context)


def _no_such(number: str) -> str:
    told = f"No sheet {number} of a pavement that you may see."
    return told if "-" in number else f"{told} A number looks like INS-0417; it stands at the head."


@require_safe
def sheet_open(request: HttpRequest, number: str) -> HttpResponse:
    """Go where the square of dots leads: the pavement, or the sheet where it is of none alone."""
    sheet = get_sheet(request.user, number)
    if sheet.pavement is None or sheet.kind not in OPEN_THE_PAVEMENT:
        return redirect("sheet_page", sheet.number)
    address = reverse("pavement_page", args=(sheet.pavement.pk,))
    return redirect(f"{address}?{urlencode({'sheet': sheet.number})}")


@require_safe
def sheet_page(request: HttpRequest, number: str) -> HttpResponse:
    """Show what was printed and what came back on it."""
    sheet = get_sheet(request.user, number)
    tests: list[InfiltrationTest] = []
    pavement = sheet.pavement
    if sheet.pavement is not None:
        seen = access.visible_tests(request.user, sheet.pavement).filter(sheet_number=number)
        tests = list(seen.select_related("spot", "pavement__site").order_by("entered_at", "pk"))
    context = {
        "sheet": sheet,
        "cells": _as_printed(sheet),
        "pavement": sheet.pavement,
        "tests": tests,
        "twice": [
            (pair, access.is_author(request.user, pair.second)) for pair in typed_twice(tests)
        ],
        "may_record": pavement is not None and access.may(request.user, pavement, "record_test"),
        "may_copy": sheet.kind == SheetKind.INSPECTION
        and (pavement is None or access.may(request.user, pavement, "record_visit")),
        "order": order_of_sheet(request.user, sheet),
        "copy_to_day": COPY_TO_DAY[sheet.kind] if may_copy_to_day(request.user, sheet) else "",
        "copies": visible_copies(request.user, sheet),
    }
    return render(request, "sheet/page.html", context)


@require_http_methods(["GET", "POST"])
def sheet_print(request: HttpRequest, pk: int) -> HttpResponse:
    """Print a sheet of a pavement."""
    pavement = access.get_pavement(request.user, pk, to="print")
    organisation = access.acting_organisation(request.user, pavement, "print")
    system = pavement.sheet_system
    form = SheetForm(request.POST or None, initial={"system": system, "paper": _paper(system)})
    if request.method == "POST" and form.is_valid():
        printed = None if form.is_blank else pavement
        try:
            return _printed(form, printed, by=request.user, organisation=organisation)
        except DomainError as fault:
            form.add_error(None, fault.message)
    context = {"pavement": pavement, "form": form, "sheets": sheets_at(request.user, pavement)[:12]}
    return render(request, "sheet/print.html", context)


@require_http_methods(["GET", "POST"])
def sheet_blank(request: HttpRequest) -> HttpResponse:
    """Print a sheet without a pavement."""
    system = request.user.shown_system
    form = BlankSheetForm(request.POST or None, initial={"system": system, "paper": _paper(system)})
    if request.method == "POST" and form.is_valid():
        return _printed(form, None, by=request.user, organisation=None)
    return render(request, "sheet/blank.html", {"form": form})


@require_POST
def sheet_hold_double(request: HttpRequest, number: str, pk: int) -> HttpResponse:
    """Hold the second typing of a run as a double of the first."""
    sheet = get_sheet(request.user, number)
    second = access.get_test(request.user, pk, to="correct")
    tests = access.visible_tests(request.user, second.pavement).filter(sheet_number=number)
    pairs = {pair.second.pk: pair for pair in typed_twice(tests.select_related("spot"))}
    try:
        if second.pk not in pairs:
            raise DomainError(f"This run was not typed in twice from sheet {sheet.number}.")
        mark_double(
            second,
            kept=pairs[second.pk].first,
            why=f"sheet {sheet.number} typed in twice",
            by=request.user,
            organisation=second.entered_for,
        )
    except DomainError as fault:
        messages.error(request, fault.message)
    else:
        messages.success(request, "The second is held as a double; both stay readable.")
    return redirect("sheet_page", number)


def _as_printed(sheet: PrintedSheet) -> list[tuple[str, str]]:
    """The cells of the title block: the sheet's own head, as it was printed."""
    cells = [("printed on", f"{sheet.printed_at:%Y-%m-%d}")]
    if sheet.pavement_id is None:
        return [("pavement", "printed blank"), *cells]
    kept = sheet.content
    return [
        ("pavement", f"{kept.get('pavement', '')}, {kept.get('street', '')}".strip(", ")),
        ("own number", kept.get("own_number") or "none"),
        ("other numbers", ", ".join(kept.get("other_numbers", ())) or "none"),
        ("plan", str(kept.get("plan_number") or "none")),
        *cells,
    ]


def _paper(system: str) -> str:
    """The paper that usually goes with a system of units, offered first and seen on the form."""
    return "a4" if system == ReadingSystem.SI else "letter"


def _printed(
    form: BlankSheetForm,
    pavement: Pavement | None,
    *,
    by: Person,
    organisation: Organisation | None,
) -> HttpResponse:
    """Print and answer the PDF."""
    kind, system = form.cleaned_data["kind"], form.cleaned_data["system"]
    paper = form.cleaned_data["paper"]
    content = _content(kind, system, pavement, organisation, by)
    done = print_sheet(
        kind=kind,
        draw=partial(_draw, content, paper),
        content=kept_of(content),
        system=system,
        paper=paper,
        pavement=pavement,
        by=by,
        organisation=organisation,
    )
    headers = {"Content-Disposition": f'inline; filename="{done.row.number}.pdf"'}
    return HttpResponse(done.pdf, content_type="application/pdf", headers=headers)


def _content(
    kind: str,
    system: str,
    pavement: Pavement | None,
    organisation: Organisation | None,
    by: Person,
) -> Content:
    if pavement is None:
        return blank_content(kind, system=system, printed_on=timezone.localdate())
    today = timezone.localdate(timezone=ZoneInfo(pavement.site.time_zone))
    return content_of(
        kind,
        pavement,
        system=system,
        printed_on=today,
        organisation=organisation,
        seen=Seen(*rows_to_walk(by, pavement)),
    )


def _draw(content: Content, paper: str, number: str) -> DrawnSheet:
    return draw_sheet(content, number=number, public_url=settings.PUBLIC_URL, paper=paper)
