"""The timeline of a pavement."""

from functools import partial

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from registry import access
from registry.access.defects import visible_visits
from registry.gathering.timeline import Timeline, Told
from registry.gathering.timeline_words import KINDS
from registry.measuring.years_untested import untested_between
from registry.models import Pavement, Person
from registry.units import System
from registry.views.pavement import local_today
from registry.views.title import title_block_of

A_PAGE = 200


def pavement_timeline(request: HttpRequest, pk: int) -> HttpResponse:
    """Show what happened to a pavement, of all kinds or of those chosen."""
    pavement = access.get_pavement(request.user, pk)
    chosen = [kind for kind in request.GET.getlist("kind") if kind in KINDS] or list(KINDS)
    is_oldest_first = request.GET.get("order") == "oldest"
    told, system = _told(request.user, pavement), System(request.user.shown_system)
    events = Timeline(told, kinds=chosen, system=system, is_oldest_first=is_oldest_first)
    page: Paginator = Paginator(events, A_PAGE)
    query = request.GET.copy()
    query.pop("page", None)
    return render(
        request,
        "pavement/timeline.html",
        {
            "pavement": pavement,
            "head": title_block_of(request.user, pavement, as_of=local_today(pavement)),
            "page": page.get_page(request.GET.get("page")),
            "query": f"{query.urlencode()}&" if query else "",
            "kinds": [(kind, words, kind in chosen) for kind, words in KINDS.items()],
            "is_oldest_first": is_oldest_first,
            "untested": untested_between(told.tests.done().days()) if "test" in chosen else (),
        },
    )


def _told(person: Person, pavement: Pavement) -> Told:
    return Told(
        pavement=pavement,
        tests=access.visible_tests(person, pavement).select_related("spot"),
        cleanings=access.visible_cleanings(person, pavement),
        visits=visible_visits(person, pavement),
        seats=access.visible_seats(person, pavement),
        journal=access.visible_journal(person, pavement),
        as_shown=partial(access.with_prices_hidden, person),
        with_criteria=access.may_see_criteria(person, pavement),
    )
