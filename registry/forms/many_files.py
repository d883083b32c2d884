"""Several files chosen at once."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile


class ManyFilesInput(forms.ClearableFileInput):
    """A file field in which several files may be chosen."""

    allow_multiple_selected = True


class ManyFilesField(forms.FileField):
    """One or several files, as a list; more than `most` are refused with `too_many`."""

    widget = ManyFilesInput

    def __init__(self, *, most: int, too_many: str, **options: Any) -> None:
        super().__init__(**options)
        self.most, self.too_many = most, too_many

    def clean(self, data: Any, initial: Any = None) -> list[UploadedFile]:
        """Return the files chosen, in the order they came."""
        files = list(data or [None]) if isinstance(data, list | tuple) else [data]
        empty = [file.name for file in files if file and not file.size]
        if empty and not self.allow_empty_file:
            raise ValidationError(f"There is nothing in {', '.join(empty)}. Choose files anew.")
        found = [super(ManyFilesField, self).clean(file, initial) for file in files]
        if len(found) > self.most:
            raise ValidationError(self.too_many)
        return found
