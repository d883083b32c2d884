"""Calendar feeds: give out an address, take it back, answer who fetches it."""

import hashlib
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.cache import get_conditional_response
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from registry import access
from registry.access.calendars import feed_rows, find_feed, get_feed, visible_feeds
from registry.access.crews import crews_of
from registry.actions.count_feed_fetch import WINDOW, count_feed_fetch
from registry.actions.make_calendar_feed import make_calendar_feed
from registry.actions.revoke_calendar_feed import revoke_calendar_feed
from registry.agenda import Feed, FeedEvent, write_feed
from registry.faults import DomainError
from registry.forms.calendar import CalendarFeedForm
from registry.gathering.calendar import Span
from registry.gathering.feed_events import feed_events
from registry.models import CalendarFeed

DAYS_BACK, DAYS_AHEAD = timedelta(days=90), timedelta(days=400)


@never_cache
@require_http_methods(["GET", "POST"])
def calendar_feed_list(request: HttpRequest, pk: int) -> HttpResponse:
    """List the feeds of an organisation; a new address is shown once, in the answer to the form."""
    organisation = access.get_organisation(request.user, pk)
    crews = [crew for crew in crews_of(organisation) if not crew.is_void]
    form = CalendarFeedForm(request.POST or None, organisation=organisation, crews=crews)
    context = {"organisation": organisation, "form": form}
    if request.method == "POST" and form.is_valid():
        try:
            issued = make_calendar_feed(organisation=organisation, crew=form.crew, by=request.user)
        except DomainError as refusal:
            form.add_error(None, refusal.message)
        else:
            return render(request, "calendar_feed/given.html", {**context, "issued": issued})
    context["feeds"] = visible_feeds(request.user, organisation)
    return render(request, "calendar_feed/list.html", context)


@require_POST
def calendar_feed_revoke(request: HttpRequest, pk: int) -> HttpResponse:
    """Take the address of a feed back."""
    feed = get_feed(request.user, pk)
    try:
        revoke_calendar_feed(feed=feed, by=request.user)
    except DomainError as refusal:
        messages.error(request, refusal.message)
    else:
        messages.success(request, f"Nobody gets the {feed} by its old address any more.")
    return redirect("calendar_feed_list", feed.organisation_id)


@login_not_required
@require_safe
def calendar_feed_file(request: HttpRequest, secret: str) -> HttpResponseBase:
    """Give the file of a feed to whoever holds its address; no session is asked for or begun."""
    feed, at = find_feed(secret), timezone.now()
    if not count_feed_fetch(feed, at=at):
        wait = str(int(WINDOW.total_seconds()))
        said = "Fetched too often; ask again in an hour.\n"
        return _private(
            HttpResponse(said, status=429, content_type="text/plain", headers={"Retry-After": wait})
        )
    file = write_feed(Feed(str(feed), feed.organisation.time_zone, _events(feed, at)))
    etag = f'"{hashlib.sha256(file).hexdigest()}"'
    response = HttpResponse(file, content_type="text/calendar; charset=utf-8")
    response["ETag"] = etag
    response["Content-Disposition"] = 'inline; filename="calendar.ics"'
    return _private(get_conditional_response(request, etag=etag, response=response) or response)


def _events(feed: CalendarFeed, at: datetime) -> list[FeedEvent]:
    rows = feed_rows(feed, at)
    if rows is None:
        return []
    zone = feed.organisation.time_zone
    today = at.astimezone(ZoneInfo(zone)).date()
    span = Span(today - DAYS_BACK, today + DAYS_AHEAD, today, zone)
    return feed_events(span, orders=rows.orders, kept=rows.kept, crews=rows.crews)


def _private(response: HttpResponseBase) -> HttpResponseBase:
    """Keep it out of caches between, and the address out of other sites and of search."""
    response["Cache-Control"] = "private, no-cache"
    response["Referrer-Policy"] = "no-referrer"
    response["X-Robots-Tag"] = "noindex"
    return response
