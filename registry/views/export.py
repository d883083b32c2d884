"""Spreadsheets out: what a person may see, as files."""

from collections.abc import Callable, Iterator
from datetime import datetime
from tempfile import TemporaryFile

from django.http import FileResponse, Http404, HttpRequest, HttpResponse, StreamingHttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from registry import access
from registry.exchange.files_out import csv_archive, geojson, write_workbook
from registry.exchange.shown import shown_pavements

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


@require_GET
def export_page(request: HttpRequest) -> HttpResponse:
    """Show what can be had as a file."""
    count = access.visible_pavements(request.user).count()
    return render(request, "export/page.html", {"count": count, "formats": list(MAKERS)})


@require_GET
def export_file(request: HttpRequest, form: str) -> HttpResponseBase:
    """Give out everything the person may see in one form; it is made while it is sent."""
    if form not in MAKERS:
        raise Http404("No such form of file.")
    at = timezone.now()
    organisations = list(access.organisations_of(request.user).values_list("pk", flat=True))
    response = MAKERS[form](organisations, at)
    name = f"pavement-records-{at:%Y-%m-%d}.{'zip' if form == 'csv' else form}"
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def _csv(organisations: list[int], at: datetime) -> HttpResponseBase:
    pieces = csv_archive(shown_pavements(organisations, at), at)
    return StreamingHttpResponse(_filled(pieces), content_type="application/zip")


def _filled(pieces: Iterator[bytes]) -> Iterator[bytes]:
    """Leave out empty pieces: a server may take one for the end."""
    return (piece for piece in pieces if piece)


def _xlsx(organisations: list[int], at: datetime) -> HttpResponseBase:
    target = TemporaryFile()  # noqa: SIM115  # the response closes it when it is sent
    write_workbook(target, shown_pavements(organisations, at), at)
    target.seek(0)
    return FileResponse(target, content_type=XLSX)


def _geojson(organisations: list[int], at: datetime) -> HttpResponseBase:
    pieces = geojson(shown_pavements(organisations, at, with_records=False), at)
    return StreamingHttpResponse(pieces, content_type="application/geo+json")


MAKERS: dict[str, Callable[[list[int], datetime], HttpResponseBase]] = {
    "csv": _csv,
    "xlsx": _xlsx,
    "geojson": _geojson,
}
