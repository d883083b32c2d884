"""A copy of an inspection sheet as people read it: what is kept as codes is shown in words."""

from collections.abc import Iterable, Mapping
from typing import cast

from django import forms

from registry.forms.sheet_copy import CopiedRowForm, NewRowForm, SheetHeadForm, WellRowForm

FORMS: dict[str, type[forms.Form]] = {
    "known no.": CopiedRowForm,
    "new row": NewRowForm,
    "well": WellRowForm,
}
"""How a place on the sheet begins, and the form of its row; every other place is of the head."""

UNITS_TICKED, SOURCES = "This sheet is in", SheetHeadForm.base_fields["known"].label


def words_of(place: str, text: str, sources: Mapping[str, str]) -> str:
    """Return what was typed at a place in words; what is no code stays as it was typed.

    place    "known no. 3: found", as `typed_of` writes it
    sources  ids of the pavement's sources of dirt, as text, to what they are called
    """
    label = place.rpartition(": ")[2]
    form = next((f for start, f in FORMS.items() if place.startswith(start)), SheetHeadForm)
    if label == SOURCES:
        return _told(text, sources)
    for name, field in form.base_fields.items():
        if label == (UNITS_TICKED if name == "system" else field.label):
            return _in_words(field, text)
    return text


def differences_in_words(
    found: Iterable[Iterable[str]], sources: Mapping[str, str]
) -> list[tuple[str, str, str]]:
    """Return (place, first copy, this copy) of `actions.copy_sheet.differences` in words."""
    return [
        (place, words_of(place, one, sources), words_of(place, other, sources))
        for place, one, other in found
    ]


def _in_words(field: forms.Field, text: str) -> str:
    if isinstance(field, forms.BooleanField):
        return "yes" if text in ("on", "True", "true") else text
    if isinstance(field, forms.ChoiceField) and not isinstance(field, forms.ModelChoiceField):
        choices = cast(Iterable[tuple[str, str]], field.choices)
        return _told(text, {str(code): str(word) for code, word in choices})
    return text


def _told(text: str, words: Mapping[str, str]) -> str:
    """Several codes stand beside each other with a comma."""
    return ", ".join(words.get(code, code) for code in text.split(", ")) if text else ""
