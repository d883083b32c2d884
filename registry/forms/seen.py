"""What a correction form showed travels with it, so that a stale one is told from a fresh one."""

from typing import Any

from django import forms
from django.core.exceptions import FieldDoesNotExist
from django.db import models

from registry.models.entry import Change
from registry.models.seen import (
    Changes,
    plain_value,
    read_seen,
    snapshot,
    value_from_plain,
    write_seen,
)

TOO_OLD = (
    "This page is too old to tell what it showed. Open it again, look at what the entry holds now, "
    "and correct it then."
)


class SeenForm(forms.Form):
    """A form that corrects a stored row: it knows what its writer had before their eyes."""

    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def show_stored(self, row: models.Model, *more: str) -> None:
        """Remember what the form shows of a row: its columns among the fields, and `more`."""
        names = [name for name in (*self.fields, *more) if _is_column(row, name)]
        self.seen_row = row
        self.seen_then = snapshot(row, dict.fromkeys(names))
        self.initial["seen"] = write_seen(self.seen_then)

    def clean_seen(self) -> str:
        """Take what was shown when this form was opened, where it was opened earlier."""
        text: str = self.cleaned_data["seen"]
        if hasattr(self, "seen_row") and text != self.initial["seen"]:
            then = read_seen(text)
            if then is None or set(then) != set(self.seen_then):
                self.add_error(None, TOO_OLD)
            else:
                self.seen_then = then
        return text

    def changes_from(self, values: dict[str, Any], texts: dict[str, str]) -> Changes:
        """Return what the writer changed of what they saw, by column."""
        found = Changes(seen=self.seen_then)
        for name, value in values.items():
            old = self._as_seen(name)
            new = "" if value is None and isinstance(old, str) else value
            if not _same(old, new):
                found[name] = Change(new, texts.get(name, ""), seen=old, is_seen_known=True)
        return found

    def _as_seen(self, name: str) -> Any:
        if name not in self.seen_then:
            return getattr(self.seen_row, name)
        kept = self.seen_then[name]
        if kept == plain_value(self.seen_row, name):
            return getattr(self.seen_row, name)
        return value_from_plain(self.seen_row, name, kept)


def _is_column(row: models.Model, name: str) -> bool:
    try:
        return (
            bool(row._meta.get_field(name).concrete) and not row._meta.get_field(name).many_to_many
        )
    except FieldDoesNotExist:
        return False


def _same(old: Any, new: Any) -> bool:
    if isinstance(old, float) and isinstance(new, float):
        return abs(old - new) <= max(1e-6, 1e-9 * abs(old))
    return bool(old == new)
