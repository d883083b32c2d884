"""The season's plan of an organisation: risk with and without it, crew-days and cost."""

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_safe

from registry import access
from registry.drawing.svg import to_svg
from registry.forms.season_plan import SeasonSpanForm
from registry.gathering.season_plan import gather_season_plan
from registry.gathering.season_words import HEADS, draw_season, season_cells, season_facts
from registry.sheets.box import PAPERS, paper_named
from registry.sheets.contents import Heading
from registry.sheets.season_plan import PICTURE_MM, SeasonContent, draw_season_plan
from registry.units import System

PAGE_MM = (170.0, 95.0)


@require_safe
def season_plan_page(request: HttpRequest, pk: int) -> HttpResponse:
    """Show the months ahead."""
    organisation = access.get_organisation(request.user, pk)
    form, today = SeasonSpanForm(request.GET or None), timezone.localdate()
    plan = gather_season_plan(organisation, today=today, months=form.asked())
    cells = season_cells(plan, System(request.user.shown_system))
    context = {
        "organisation": organisation,
        "form": form,
        "plan": plan,
        "months": form.asked(),
        "heads": HEADS,
        "rows": [list(zip(HEADS, row, strict=True)) for row in cells],
        "facts": list(season_facts(plan)),
        # to_svg escapes every word that people wrote; only its own markup is left.
        "picture": mark_safe(to_svg(draw_season(plan, PAGE_MM), id_prefix="season")),
        "papers": PAPERS,
        "cells": [("as of", f"{today:%Y-%m-%d}"), ("months", str(form.asked()))],
    }
    return render(request, "season_plan/page.html", context)


@require_safe
def season_plan_paper(request: HttpRequest, pk: int) -> HttpResponse:
    """Answer the season's plan as one page for the file: letter or A4."""
    organisation = access.get_organisation(request.user, pk)
    paper = request.GET.get("paper", "letter")
    if paper not in PAPERS:
        raise Http404("No such paper.")
    system, today = System(request.user.shown_system), timezone.localdate()
    plan = gather_season_plan(organisation, today=today, months=SeasonSpanForm(request.GET).asked())
    content = SeasonContent(
        heading=Heading("SEASON PLAN", system, today, line=organisation.name),
        picture=draw_season(plan, PICTURE_MM),
        months=season_cells(plan, system),
        facts=tuple(season_facts(plan)),
    )
    address = settings.PUBLIC_URL + reverse("season_plan_page", args=[pk])
    drawn = draw_season_plan(content, address, paper_named(paper))
    return HttpResponse(drawn.pdf, content_type="application/pdf")
