"""How people sign in: by invitation only, never by signing up."""

from allauth.account.adapter import DefaultAccountAdapter
from django.http import HttpRequest


class Adapter(DefaultAccountAdapter):
    """The sign-in library's hooks."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """Say no: an account comes from an invitation."""
        return False
