"""Several files chosen at once: an empty one among them is told by its name."""

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile

from registry.forms.many_files import ManyFilesField


def test_empty_file_is_told_by_its_name():
    field = ManyFilesField(most=3, too_many="Choose up to 3.")
    chosen = [SimpleUploadedFile("a.csv", b"x"), SimpleUploadedFile("b.csv", b"")]
    with pytest.raises(ValidationError, match=r"nothing in b\.csv"):
        field.clean(chosen)
    assert field.clean(chosen[:1]) == chosen[:1]
