"""Files whose names show nothing are taken too, so that what becomes of them can be said."""

from typing import Any

from django.core.files.uploadhandler import FileUploadHandler
from django.http.multipartparser import MultiPartParser

NAMELESS = "a file without a name"


class TakesNameless(FileUploadHandler):
    """The first of the upload handlers: hands the request to a parser that drops no file.

    Django's own leaves a file out without a word where no sign of its name can be printed, or it
    is no more than dots and strokes. A field in which nothing was chosen sends no name at all, and
    stays empty.
    """

    def handle_raw_input(
        self,
        input_data: Any,
        META: Any,
        content_length: int,
        boundary: Any,
        encoding: str | None = None,
    ) -> Any:
        """Return what was filled in and the files, taken by the handlers behind this one."""
        assert self.request is not None, "Django gives each handler its request"
        others = [one for one in self.request.upload_handlers if one is not self]
        return _NamelessParser(META, input_data, others, encoding).parse()

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes:
        """Leave the bytes to the handlers behind this one."""
        return raw_data

    def file_complete(self, file_size: int) -> None:
        """Leave the file to the handlers behind this one."""


class _NamelessParser(MultiPartParser):
    def sanitize_file_name(self, file_name: str) -> str:
        return super().sanitize_file_name(file_name) or NAMELESS
