"""The bytes of photos: handed out through the access check alone, never by a path."""

from django.core.exceptions import PermissionDenied
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.utils.cache import get_conditional_response
from django.views.decorators.http import require_safe

from registry.access.defects import get_photo
from registry.access.photos import sees_original
from registry.gathering.photo_files import COPY, MOST_BYTES, covers_mark, open_original, read_view
from registry.imaging import Kind

KEPT_SECONDS = 300
"""So long a browser shows a view again without asking; the session is part of what it keeps."""


@require_safe
def photo_view(request: HttpRequest, pk: int, size: str) -> HttpResponseBase:
    """Hand out a size of a photo: "list", "page", or the "copy" that may be passed on."""
    photo = get_photo(request.user, pk)
    if size != COPY and size not in MOST_BYTES:
        raise Http404("No such size.")
    is_covered = size == COPY or not sees_original(request.user, photo)
    mark = covers_mark(photo) if is_covered and photo.covers else "plain"
    etag = f'"{photo.file.sha256[:32]}-{size}-{mark}"'
    answer = get_conditional_response(request, etag=etag)
    if answer is None:
        try:
            data = read_view(photo, size, is_covered=is_covered)
        except FileNotFoundError as missing:
            raise Http404("This size of the photo is not made yet.") from missing
        answer = HttpResponse(data, content_type="image/jpeg")
    how = "attachment" if size == COPY else "inline"
    return _guarded(answer, etag, f'{how}; filename="photo-{pk}-{size}.jpg"')


@require_safe
def photo_original(request: HttpRequest, pk: int) -> HttpResponseBase:
    """Hand out the bytes as they came, to the side that sent them and who reads all there."""
    photo = get_photo(request.user, pk)
    if not sees_original(request.user, photo):
        raise PermissionDenied("The original goes to its own side and to who reads all there.")
    kind = Kind(photo.file.kind)
    etag = f'"{photo.file.sha256}"'
    answer: HttpResponseBase | None = get_conditional_response(request, etag=etag)
    if answer is None:
        answer = FileResponse(open_original(photo.file), content_type=kind.media_type)
    return _guarded(answer, etag, f'attachment; filename="photo-{pk}{kind.suffix}"')


def _guarded(answer: HttpResponseBase, etag: str, disposition: str) -> HttpResponseBase:
    """Say that the bytes are what they are called, for this person and this site alone."""
    answer["Content-Disposition"] = disposition
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Cross-Origin-Resource-Policy"] = "same-origin"
    answer["Cache-Control"] = f"private, max-age={KEPT_SECONDS}"
    answer["ETag"] = etag
    return answer
