"""Forms of people: signing in, one-time codes, and a new person's name and password."""

import time
from typing import Any

from allauth.account.forms import LoginForm
from allauth.core import context
from allauth.mfa import app_settings
from allauth.mfa.adapter import get_adapter
from allauth.mfa.base.forms import AuthenticateForm, ReauthenticateForm
from allauth.mfa.models import Authenticator
from axes.handlers.proxy import AxesProxyHandler
from django import forms
from django.contrib.auth.password_validation import (
    validate_password,
)
from django.contrib.auth.signals import user_login_failed
from django.core.exceptions import ValidationError
from django.db import transaction

from registry.forms.one_line import check_one_line
from registry.models import Person


class SignInForm(LoginForm):
    """E-mail address and password."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["login"].label = "E-mail address"
        self.fields["login"].widget.attrs = {"autocomplete": "username", "inputmode": "email"}
        self.fields["password"].widget.attrs.pop("placeholder", None)
        self.fields["password"].help_text = ""
        self.fields["remember"].label = "Stay signed in on this device"
        self.fields["remember"].help_text = "Not on a phone that others use."


class _CountedCodes(forms.Form):
    """Count wrong codes together with wrong passwords, and refuse codes while locked out.

    A one-time code has a million values: uncounted, a known password would soon be enough.
    """

    user: Person

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["code"].widget.attrs = {
            "autocomplete": "one-time-code",
            "autocapitalize": "off",
            "spellcheck": "false",
        }

    def clean_code(self) -> str:
        request, credentials = context.request, {"email": self.user.email}
        if not AxesProxyHandler.is_allowed(request, credentials):
            request.axes_locked_out = True
            request.axes_credentials = credentials
            raise ValidationError("Locked for a quarter of an hour.")
        try:
            with transaction.atomic():
                return self._take_code()
        except ValidationError:
            user_login_failed.send(sender=__name__, credentials=credentials, request=request)
            raise

    def _take_code(self) -> str:
        """Take a code once, whichever process it comes to: a cache is each process's own.

        Published rule: RFC 6238, 5.2, a one-time code is not accepted a second time.
        """
        list(Authenticator.objects.select_for_update().filter(user=self.user))
        code: str = super().clean_code()  # type: ignore[misc]
        with_app: Authenticator = self.authenticator
        if with_app.type == Authenticator.Type.TOTP:
            _take_once(with_app, "".join(filter(str.isalnum, code)))
        return code


def _take_once(with_app: Authenticator, code: str) -> None:
    """Refuse the code that was taken last; it is good for one period and gone after it."""
    now = int(time.time())
    last = with_app.data.get("taken", {})
    if last.get("code") == code and now - last["at"] <= 2 * app_settings.TOTP_PERIOD:
        raise get_adapter().validation_error("incorrect_code")
    with_app.data["taken"] = {"code": code, "at": now}
    with_app.save(update_fields=["data"])


class CodeForm(_CountedCodes, AuthenticateForm):
    """The one-time code, or a recovery code, when signing in."""


class CodeAgainForm(_CountedCodes, ReauthenticateForm):
    """The one-time code once more, before something that needs it."""


class NewPersonForm(forms.Form):
    """Name and password of a person who takes up an invitation."""

    name = forms.CharField(
        label="Your name",
        max_length=120,
        validators=[check_one_line],
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    password = forms.CharField(
        label="Password",
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
        help_text="12 characters or more; a few words in a row are easy to keep in mind.",
    )
    again = forms.CharField(
        label="The same password again",
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def __init__(self, *args: Any, email: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.email = email

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        password = cleaned.get("password")
        if not password:
            return cleaned
        if password != cleaned.get("again"):
            self.add_error("again", "The two passwords differ.")
        person = Person(email=self.email, name=cleaned.get("name", ""))
        try:
            validate_password(password, person)
        except ValidationError as refusal:
            self.add_error("password", refusal)
        return cleaned
