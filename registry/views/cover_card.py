"""The cover walk card that came back: typed in strip by strip, in the card's own order."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from registry.access.load_sheets import day_of_sheet
from registry.access.placing import writing_side
from registry.access.sheets import get_sheet
from registry.actions.copy_cover_card import CardRead, copy_cover_card, hold_card_double
from registry.forms.cover_copy import CopiedCard
from registry.models import Cover, PlacingDay, PrintedSheet, SheetCopy, SheetKind
from registry.numerals import whole_number
from registry.sheets.cover_card import DUE
from registry.views.copied import answer_copied
from registry.views.entry import try_action
from registry.views.pavement import local_today
from registry.views.placing_sheet import which_day
from registry.views.title import title_block_of


@require_http_methods(["GET", "POST"])
def cover_copy_in(request: HttpRequest, number: str) -> HttpResponse:
    """Type in cover walk cards; the first copy makes strips, walks and what lay bare."""
    sheet = get_sheet(request.user, number)
    if sheet.kind != SheetKind.COVER:
        messages.error(request, f"{sheet} is no cover walk card; its page says what it is.")
        return redirect("sheet_page", number)
    day = day_of_sheet(request.user, sheet, whole_number(request.GET.get("day", "")))
    if day is None:
        return which_day(request, sheet, "cover_copy_in")
    data = request.POST if request.method == "POST" else None
    covers = _covers(sheet, day)
    copying = CopiedCard(day, data=data, system=sheet.system, covers=covers, dues=DUE)
    if request.method == "POST":
        copy = _store(request, sheet, copying)
        if copy is not None:
            return answer_copied(request, copy, "placing_day_page", copy.placing_day_id)
    return _page(request, sheet, copying)


def _covers(sheet: PrintedSheet, day: PlacingDay) -> list[Cover | None]:
    """Return the strips of the card, page by page; None for one written by pen.

    What an older print does not tell are the covers of the day as they stand now.
    """
    rows = list(day.covers.standing().order_by("last_at", "pk"))
    kept = sheet.content.get("covers")
    if sheet.content.get("placing_day") is None:
        return [None]
    if not isinstance(kept, list):
        return list(rows) or [None]
    by_pk = {row.pk: row for row in rows}
    return [by_pk.get(pk) for pk in kept]


def _store(request: HttpRequest, sheet: PrintedSheet, copying: CopiedCard) -> SheetCopy | None:
    """Store the copy; None where something has to be put right first, which the lines say."""
    given: dict[str, Any] = {"typed": copying.typed(), "by": request.user}
    given["organisation"] = writing_side(request.user, copying.day)
    double = hold_card_double(sheet, **given) if given["typed"] else None
    if double is not None:
        return double
    if not copying.is_valid():
        return None
    strips = copying.strips
    card = CardRead(
        [row for strip in strips for row in strip.entries()],
        [(s.cover, pen) for s in strips if s.cover is not None and (pen := s.changes())],
        copying.released(),
    )
    given |= {"day": copying.day, "card": card}
    found: SheetCopy | None = try_action(copying.head, copy_cover_card, sheet, **given)
    return found


def _page(request: HttpRequest, sheet: PrintedSheet, copying: CopiedCard) -> HttpResponse:
    day = copying.day
    context = {
        "sheet": sheet,
        "day": day,
        "copying": copying,
        "head": title_block_of(request.user, day.pavement, as_of=local_today(day.pavement)),
        "first": sheet.copies.filter(is_double=False).select_related("copied_by").first(),
    }
    return render(request, "cover_card/copy_in.html", context)
