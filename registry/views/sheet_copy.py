"""Copy in an inspection sheet that came back; a second copy is held as a double."""

from zoneinfo import ZoneInfo

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from registry import access
from registry.access.defects import get_sheet_copy, rows_to_walk
from registry.access.sheets import get_sheet
from registry.actions.copy_sheet import copy_sheet, hold_double
from registry.faults import DomainError
from registry.forms.copied_words import differences_in_words, words_of
from registry.gathering.known_defects import Seen
from registry.models import Pavement, PrintedSheet, SheetCopy, SheetKind
from registry.models.rights import MAY
from registry.numerals import whole_number
from registry.views.copied import answer_copied
from registry.views.pavement import local_today
from registry.views.sheet_copy_rows import Copying
from registry.views.title import title_block_of


@require_http_methods(["GET", "POST"])
def sheet_copy_in(request: HttpRequest, number: str) -> HttpResponse:
    """Type in a sheet in its own order; the first copy makes the visit."""
    sheet = get_sheet(request.user, number)
    if sheet.kind != SheetKind.INSPECTION:
        messages.error(request, f"{sheet} is no inspection sheet; its page says what it is.")
        return redirect("sheet_page", number)
    pavement = _pavement(request, sheet)
    if pavement is None:
        return _ask_pavement(request, sheet)
    copying = _copying(request, sheet, pavement)
    if request.method == "POST" and "more_rows" not in request.POST:
        copy = _store(request, copying)
        if copy is not None:
            return answer_copied(request, copy, "visit_page", copy.visit_id)
    return _page(request, copying)


@require_safe
def sheet_copy_page(request: HttpRequest, number: str, pk: int) -> HttpResponse:
    """Show a copy as it was typed; of a double, where it differs from the first."""
    sheet = get_sheet(request.user, number)
    copy = get_sheet_copy(request.user, sheet, pk)
    differences, typed = copy.differences, list(copy.typed.items())
    if sheet.kind == SheetKind.INSPECTION:
        sources = _sources(copy)
        differences = differences_in_words(differences, sources)
        typed = [(place, words_of(place, text, sources)) for place, text in typed]
    context = {"sheet": sheet, "copy": copy, "differences": differences, "typed": typed}
    return render(request, "sheet/copy.html", context)


def _sources(copy: SheetCopy) -> dict[str, str]:
    """Return what the sources of dirt ticked on a sheet are called, by their ids as text."""
    if copy.visit is None:
        return {}
    return {str(row.pk): str(row) for row in copy.visit.pavement.dirt_sources.all()}


def _pavement(request: HttpRequest, sheet: PrintedSheet) -> Pavement | None:
    """The pavement of the sheet, or the one a blank sheet is said to be of."""
    pk = sheet.pavement_id
    if pk is None:
        pk = whole_number(request.GET.get("pavement", ""))
    if pk is None:
        return None
    return access.get_pavement(request.user, pk, to="record_visit")


def _ask_pavement(request: HttpRequest, sheet: PrintedSheet) -> HttpResponse:
    rows = access.pavements_held_as(request.user, MAY["record_visit"]).select_related("site")
    context = {"sheet": sheet, "pavements": rows.order_by("name", "pk")}
    return render(request, "sheet/copy_of.html", context)


def _copying(request: HttpRequest, sheet: PrintedSheet, pavement: Pavement) -> Copying:
    return Copying(
        sheet,
        pavement,
        seen=Seen(*rows_to_walk(request.user, pavement)),
        data=request.POST or None,
        today=local_today(pavement),
        printed_on=sheet.printed_at.astimezone(ZoneInfo(pavement.site.time_zone)).date(),
    )


def _store(request: HttpRequest, copying: Copying) -> SheetCopy | None:
    """Store the copy; None where something has to be put right first, which its forms say."""
    organisation = access.acting_organisation(request.user, copying.pavement, "record_visit")
    given = {"typed": copying.typed(), "by": request.user, "organisation": organisation}
    double = hold_double(copying.sheet, **given) if given["typed"] else None
    if double is not None:
        return double
    if not copying.is_valid():
        return None
    seen = Seen(*rows_to_walk(request.user, copying.pavement))
    try:
        return copy_sheet(copying.sheet, read=copying.read(), seen=seen, **given)
    except DomainError as fault:
        copying.head.add_error(None, fault.message)
    except ValidationError as fault:
        copying.head.add_error(None, ValidationError(fault.messages))
    return None


def _page(request: HttpRequest, copying: Copying) -> HttpResponse:
    first = copying.sheet.copies.filter(is_double=False, visit__void_at__isnull=True)
    context = {
        "sheet": copying.sheet,
        "pavement": copying.pavement,
        "copying": copying,
        "head": title_block_of(request.user, copying.pavement, as_of=local_today(copying.pavement)),
        "blocks": {
            name: copying.head.in_block(legend)
            for name, legend in (
                ("visit", "Visit"),
                ("panels", "Panels"),
                ("water", "Water"),
                ("dirt", "Dirt and drains"),
                ("margin", "Also on the sheet, in the margin"),
                ("foot", "Foot"),
            )
        },
        "first": first.select_related("copied_by").first(),
    }
    return render(request, "sheet/copy_in.html", context)
