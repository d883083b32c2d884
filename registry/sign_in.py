"""How people sign in: by invitation only, never by signing up; and what counts wrong attempts."""

import base64
import hashlib
from collections.abc import Mapping
from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from allauth.mfa.adapter import DefaultMFAAdapter
from cryptography.fernet import Fernet, InvalidToken
from django.conf import settings
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest


class Adapter(DefaultAccountAdapter):
    """The sign-in library's hooks."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """Say no: an account comes from an invitation."""
        return False


SEALED = "sealed:"
"""Before a text that is encrypted; one without it was stored before secrets were."""


class SecondStepAdapter(DefaultMFAAdapter):
    """Keeps the secrets of the second step of signing in encrypted in the database.

    Who gets hold of a copy of the database alone can make no codes from it. The key comes from
    REGISTRY_SECRET_KEY: where that is changed, people have to set up their second step anew.
    """

    def encrypt(self, text: str) -> str:
        """Return a text as it is stored."""
        return SEALED + _locksmith().encrypt(text.encode()).decode()

    def decrypt(self, encrypted_text: str) -> str:
        """Return what was encrypted. Raises PermissionDenied where the key was another one.

        Never "": codes made from an empty secret could be worked out by anybody.
        """
        if not encrypted_text.startswith(SEALED):
            return encrypted_text
        try:
            return _locksmith().decrypt(encrypted_text.removeprefix(SEALED)).decode()
        except InvalidToken as fault:
            raise PermissionDenied(
                "The second step of this account was set up under another secret key of this "
                "server. Ask those who run it to take it off, then set it up anew."
            ) from fault


def _locksmith() -> Fernet:
    # A secret key has to be long and random, so that one hash will do. The words before it keep
    # this key apart from all others made of it.
    digest = hashlib.sha256(b"second step of signing in|" + settings.SECRET_KEY.encode()).digest()
    return Fernet(base64.urlsafe_b64encode(digest))


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
