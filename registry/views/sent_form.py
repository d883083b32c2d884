"""The door for forms that make a record: what was sent twice is stored once."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.utils import timezone

from registry.actions.take_form import SentBefore, key_of, take_form


class FormsOnce:
    """Answer a form that carries a key (`form_key`) from memory when it comes a second time.

    The last of the middlewares: it stands where the page itself would be called.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_view(
        self,
        request: HttpRequest,
        view: Callable[..., HttpResponseBase],
        args: tuple[Any, ...],
        kwargs: dict[str, Any],
    ) -> HttpResponseBase | None:
        if request.method != "POST" or not request.user.is_authenticated:
            return None
        if not request.POST.get("form_key"):
            return None
        key = key_of(request.user, request.get_full_path(), request.POST)
        try:
            return take_form(request.user, key, lambda: view(request, *args, **kwargs))
        except SentBefore as before:
            return _as_before(request, before)


def _as_before(request: HttpRequest, before: SentBefore) -> HttpResponse:
    sent_at = timezone.localtime(before.form.sent_at)
    messages.info(
        request,
        f"This form came in before, on {sent_at:%Y-%m-%d at %H:%M} UTC, and was stored then. "
        "It was not stored a second time.",
    )
    return redirect(before.form.answered_with)
