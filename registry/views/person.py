"""The page of the person who is signed in: their own details and how they sign in."""

from typing import Any

from allauth.account import views as account
from allauth.account.adapter import get_adapter
from django.contrib.auth.decorators import login_not_required
from django.core.cache import cache
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.views.decorators.http import require_GET

from registry import access

LINKS_A_MINUTE = 20
"""How many links for a new password one address may open, so that nobody tries them out."""


@require_GET
def person_page(request: HttpRequest) -> HttpResponse:
    """Show one's own name, address, organisations, and the ways to change how one signs in."""
    context = {"memberships": access.memberships_of(request.user)}
    return render(request, "person/page.html", context)


@login_not_required
def password_from_link(request: HttpRequest, **link: Any) -> HttpResponseBase:
    """Set a new password by a mailed link. The library counts what is sent, not what is opened."""
    if not _may_open_link(request):
        return render(request, "429.html", status=429)
    return account.password_reset_from_key(request, **link)


def _may_open_link(request: HttpRequest) -> bool:
    """Count a link that was opened; say whether its address did not open too many in a minute."""
    key = f"reset-link:{get_adapter().get_client_ip(request)}"
    cache.add(key, 0, timeout=60)
    try:
        return cache.incr(key) <= LINKS_A_MINUTE
    except ValueError:  # the minute was over in between
        return True
