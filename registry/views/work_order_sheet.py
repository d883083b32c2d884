"""The sheet of a work order, numbered, for the cab."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods

from registry import access
from registry.access.holding import rights_at
from registry.access.work_orders import acting_side, get_work_order
from registry.actions.print_sheet import print_sheet
from registry.faults import DomainError
from registry.forms.sheet import OrderSheetForm
from registry.gathering.layouts import current_plan, layout_of
from registry.models import SheetKind, WorkOrder
from registry.models.choices import ReadingSystem
from registry.sheets.contents import Content
from registry.sheets.gathered import TITLES, heading_of
from registry.sheets.printing import draw_sheet, kept_of
from registry.sheets.sweep_order import sweep_content
from registry.units import System
from registry.views.pavement import local_today


@require_http_methods(["GET", "POST"])
def work_order_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """Print the sheet of an order."""
    row = get_work_order(request.user, pk, to="work")
    system = row.pavement.sheet_system
    paper = "a4" if system == ReadingSystem.SI else "letter"
    form = OrderSheetForm(request.POST or None, initial={"system": system, "paper": paper})
    if request.method == "POST" and form.is_valid():
        try:
            return _printed(request, row, **form.cleaned_data)
        except DomainError as fault:
            form.add_error(None, fault.message)
    context = {"row": row, "pavement": row.pavement, "form": form}
    return render(request, "work_order/sheet.html", context)


def _printed(request: HttpRequest, row: WorkOrder, *, paper: str, system: str) -> HttpResponse:
    content = _content(request, row, System(system))
    done = print_sheet(
        kind=SheetKind.SWEEP,
        draw=lambda number: draw_sheet(
            content, number=number, public_url=settings.PUBLIC_URL, paper=paper
        ),
        content=kept_of(content),
        system=system,
        paper=paper,
        pavement=row.pavement,
        by=request.user,
        organisation=acting_side(rights_at(request.user, row.pavement), row, "work"),
    )
    headers = {"Content-Disposition": f'inline; filename="{done.row.number}.pdf"'}
    return HttpResponse(done.pdf, content_type="application/pdf", headers=headers)


def _content(request: HttpRequest, row: WorkOrder, system: System) -> Content:
    pavement, on = row.pavement, local_today(row.pavement)
    own = acting_side(rights_at(request.user, pavement), row, "work")
    title, plan = TITLES[SheetKind.SWEEP], current_plan(pavement)
    heading = heading_of(title, pavement, plan, system, on, own)
    shows_price = access.may_see_prices(request.user, row)
    return sweep_content(row, heading, layout_of(pavement), on, shows_price=shows_price)
