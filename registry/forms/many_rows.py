"""A choice of several rows of the record."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

LONGEST_ID = 18
"""Figures of an id; SQLite has no column for a number of twenty and breaks off asking for it."""


class ManyRowsField(forms.ModelMultipleChoiceField):
    """Several rows; an id that no row can have is refused like one that no row has."""

    def _check_values(self, value: Any) -> Any:
        for pk in value if isinstance(value, list | tuple) else ():
            if len(str(pk)) > LONGEST_ID:
                params = {"value": pk}
                raise ValidationError(
                    self.error_messages["invalid_choice"], "invalid_choice", params
                )
        return super()._check_values(value)  # type: ignore[misc]  # Django's stubs leave it out
