"""A crew's day on paper, and the stops of a round as a file."""

from datetime import date
from zoneinfo import ZoneInfo

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from registry.access.calendars import get_round_written_out
from registry.access.crews import get_crew
from registry.access.work_orders import all_visible_work_orders
from registry.actions.print_sheet import print_sheet
from registry.exchange.round_lines import round_csv
from registry.faults import DomainError
from registry.forms.sheet import OrderSheetForm
from registry.gathering.crew_day import CrewDay, gather_crew_day, gather_round_days
from registry.models import Crew, SheetKind
from registry.models.choices import ReadingSystem
from registry.sheets.day_content import day_content
from registry.sheets.printing import draw_sheet, kept_of
from registry.units import System
from registry.views.calendar import day_named


@require_http_methods(["GET", "POST"])
def crew_day_sheet(request: HttpRequest, day: str, pk: int) -> HttpResponse:
    """Print the day sheet of a crew."""
    on, crew = day_named(day), get_crew(request.user, pk)
    orders = all_visible_work_orders(request.user)
    gathered = gather_crew_day(crew, on, orders, zone=crew.organisation.time_zone)
    system = crew.organisation.system
    paper = "a4" if system == ReadingSystem.SI else "letter"
    form = OrderSheetForm(request.POST or None, initial={"system": system, "paper": paper})
    if request.method == "POST" and form.is_valid():
        try:
            return _printed(request, gathered, **form.cleaned_data)
        except DomainError as fault:
            form.add_error(None, fault.message)
    return render(
        request, "crew_day/sheet.html", {"gathered": gathered, "crew": crew, "form": form}
    )


def _printed(request: HttpRequest, day: CrewDay, *, paper: str, system: str) -> HttpResponse:
    content = day_content(day, System(system), _today(day.crew))
    done = print_sheet(
        kind=SheetKind.DAY,
        draw=lambda number: draw_sheet(
            content, number=number, public_url=settings.PUBLIC_URL, paper=paper
        ),
        content=kept_of(content),
        system=system,
        paper=paper,
        pavement=None,
        crew=day.crew,
        by=request.user,
        organisation=day.crew.organisation,
    )
    headers = {"Content-Disposition": f'inline; filename="{done.row.number}.pdf"'}
    return HttpResponse(done.pdf, content_type="application/pdf", headers=headers)


def _today(crew: Crew) -> date:
    return timezone.now().astimezone(ZoneInfo(crew.organisation.time_zone)).date()


@require_safe
def round_file(request: HttpRequest, pk: int) -> HttpResponse:
    """Give out the stops of a round as CSV, those of orders that the person may see."""
    row = get_round_written_out(request.user, pk)
    days = gather_round_days(row, all_visible_work_orders(request.user))
    text = round_csv(days, System(request.user.shown_system))
    name = f"round-{row.pk}-{row.first_on}-{row.last_on}.csv"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(text, content_type="text/csv; charset=utf-8", headers=headers)
