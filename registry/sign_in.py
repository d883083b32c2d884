"""How people sign in: by invitation only, never by signing up; and what counts wrong attempts."""

from collections.abc import Mapping
from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from django.conf import settings
from django.http import HttpRequest


class Adapter(DefaultAccountAdapter):
    """The sign-in library's hooks."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """Say no: an account comes from an invitation."""
        return False


def name_typed(request: HttpRequest, credentials: Mapping[str, Any] | None) -> str:
    """Return the name under which wrong attempts are counted: the e-mail address, in one case.

    Without this all names tried from one address would share one count, since the sign-in form
    hands the address over as `email` while its field is called `login`.
    """
    given = (credentials or {}).get("email") or request.POST.get("login", "")
    return str(given).strip().lower()


def address_of(request: HttpRequest) -> str | None:
    """Return the address a request came from, as our own proxy tells it where there is one.

    The proxy puts the address in the last place of X-Forwarded-For; what stands before it was
    written by the visitor. None where a program signs somebody in without a request.
    """
    forwarded = request.META.get("HTTP_X_FORWARDED_FOR", "")
    if settings.ALLAUTH_TRUSTED_PROXY_COUNT and forwarded:
        return forwarded.split(",")[-1].strip()
    return request.META.get("REMOTE_ADDR")
