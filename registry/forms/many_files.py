"""Several files chosen at once."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile

from registry.numerals import whole_number


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


def lost_of(form: forms.BaseForm, name: str) -> str:
    """Return how many of the files chosen in a field did not come, in words; "" where all came.

    A file that is sent under no name at all is left out before any form sees it. The page's script
    (`js/count_files.js`) sends how many were chosen; without it there is nothing to compare.
    """
    field = form.add_prefix(name)
    chosen = whole_number(form.data.get(f"{field}-count", ""), most_figures=4) or 0
    lost = chosen - len(form.files.getlist(field))
    if lost < 1:
        return ""
    return f"{lost} of the {chosen} chosen did not arrive. Give a file without a name one."
