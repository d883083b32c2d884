"""The door through which each page is read: as long as it is open, `kept` answers from memory."""

from collections.abc import Callable, Hashable, Iterator

from django.http import FileResponse, HttpRequest, HttpResponseBase, StreamingHttpResponse

from registry.once import kept_on_this_page


def once_a_page(
    get_response: Callable[[HttpRequest], HttpResponseBase],
) -> Callable[[HttpRequest], HttpResponseBase]:
    """Keep what `kept` is given for as long as one GET is answered (a middleware)."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        if request.method not in ("GET", "HEAD"):
            return get_response(request)
        answers: dict[Hashable, object] = {}
        before = kept_on_this_page.set(answers)
        try:
            response = get_response(request)
        finally:
            kept_on_this_page.reset(before)
        if isinstance(response, StreamingHttpResponse) and not isinstance(response, FileResponse):
            response.streaming_content = _read_on(iter(response), answers)
        return response

    return answer


def _read_on(pieces: Iterator[bytes], answers: dict[Hashable, object]) -> Iterator[bytes]:
    """Make the pieces of a file with the page still open, though its answer has begun to go out."""
    while True:
        before = kept_on_this_page.set(answers)
        try:
            piece = next(pieces, None)
        finally:
            kept_on_this_page.reset(before)
        if piece is None:
            return
        yield piece
