"""What one page asks of access again and again is fetched once.

Only while a page is read: a GET writes nothing, so no answer can change before its page is done.
Outside of one (actions, commands, the worker, a form that was sent) everything is asked anew.
"""

from collections.abc import Callable, Hashable
from contextvars import ContextVar
from typing import TypeVar, cast

from django.http import HttpRequest, HttpResponseBase

Answer = TypeVar("Answer")

_kept: ContextVar[dict[Hashable, object] | None] = ContextVar("kept", default=None)


def once_a_page(
    get_response: Callable[[HttpRequest], HttpResponseBase],
) -> Callable[[HttpRequest], HttpResponseBase]:
    """Keep what `kept` is given for as long as one GET is answered (a middleware)."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        if request.method not in ("GET", "HEAD"):
            return get_response(request)
        before = _kept.set({})
        try:
            return get_response(request)
        finally:
            _kept.reset(before)

    return answer


def kept(key: Hashable, fetch: Callable[[], Answer]) -> Answer:
    """Return what `fetch` gave for this key earlier on this page, else what it gives now."""
    answers = _kept.get()
    if answers is None:
        return fetch()
    if key not in answers:
        answers[key] = fetch()
    return cast(Answer, answers[key])
