"""The files of dossiers: handed out through the access check alone, never by a path."""

from django.http import FileResponse, Http404, HttpRequest
from django.http.response import HttpResponseBase
from django.views.decorators.http import require_safe

from registry.access.dossiers import get_dossier
from registry.actions.take_dossier import take_dossier
from registry.gathering.dossier_files import SUFFIXES, open_dossier, sha256_of


@require_safe
def dossier_file(request: HttpRequest, pk: int, kind: str) -> HttpResponseBase:
    """Hand out the PDF or the archive of a dossier to the side it was made for; it is noted."""
    row = get_dossier(request.user, pk)
    if kind not in SUFFIXES or not sha256_of(row, kind):
        raise Http404("No such file of this dossier.")
    try:
        file = open_dossier(row, kind)
    except FileNotFoundError as missing:
        raise Http404("The media folder no longer holds this file.") from missing
    if request.method == "GET":
        take_dossier(row, kind, by=request.user)
    answer = FileResponse(file, content_type=SUFFIXES[kind])
    answer["Content-Disposition"] = f'attachment; filename="dossier-{pk}.{kind}"'
    answer["X-Content-Type-Options"] = "nosniff"
    answer["Cross-Origin-Resource-Policy"] = "same-origin"
    answer["Cache-Control"] = "private, no-store"
    return answer
