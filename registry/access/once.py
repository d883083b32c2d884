"""The door through which each page is read: as long as it is open, `kept` answers from memory."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponseBase

from registry.once import kept_on_this_page


def once_a_page(
    get_response: Callable[[HttpRequest], HttpResponseBase],
) -> Callable[[HttpRequest], HttpResponseBase]:
    """Keep what `kept` is given for as long as one GET is answered (a middleware)."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        if request.method not in ("GET", "HEAD"):
            return get_response(request)
        before = kept_on_this_page.set({})
        try:
            return get_response(request)
        finally:
            kept_on_this_page.reset(before)

    return answer
