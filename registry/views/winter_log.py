"""The winter log of a pavement: its lines, what each winter put on it, the first deicer."""

from datetime import date

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from registry import access
from registry.access.callbacks import visible_winter_log
from registry.access.holding import rights_at
from registry.gathering.winter_load import first_deicer, winters_of
from registry.views.pavement import local_today
from registry.views.title import title_block_of

A_PAGE = 50


@require_safe
def winter_log(request: HttpRequest, pk: int) -> HttpResponse:
    """List the lines, and sand and deicer of each winter by area (N31)."""
    pavement = access.get_pavement(request.user, pk)
    rows = list(visible_winter_log(request.user, pavement).in_order().select_related("entered_for"))
    standing = [row for row in rows if not row.is_void]
    today: date = local_today(pavement)
    context = {
        "pavement": pavement,
        "head": title_block_of(request.user, pavement, as_of=today),
        "page": Paginator(rows, A_PAGE).get_page(request.GET.get("page")),
        "winters": winters_of(standing, pavement.area_m2),
        "first": first_deicer(standing, pavement.placed_on),
        "own": rights_at(request.user, pavement).organisations,
        "may_write": rights_at(request.user, pavement).organisation_for("record_winter"),
    }
    return render(request, "winter_log/page.html", context)
