"""What the writer of a correction had before their eyes: plain values that travel with a form."""

from collections.abc import Iterable, Mapping
from typing import Any

from django.core.signing import BadSignature, Signer
from django.db import models

from registry.models.entry import Change

SIGNER = Signer(salt="registry.seen")


class Changes(dict[str, Change]):
    """Corrections by field, with everything their writer saw of the entry (`seen`, plain values).

    Where the entry holds something else by now, somebody corrected it meanwhile.
    """

    seen: Mapping[str, Any]

    def __init__(self, *given: Any, seen: Mapping[str, Any] | None = None) -> None:
        super().__init__(*given)
        self.seen = seen or {}


def plain_value(row: models.Model, name: str) -> Any:
    """Return what a field holds as text, None where it is empty; JSON stays as it is."""
    field = row._meta.get_field(name)
    value = getattr(row, field.attname)  # type: ignore[union-attr]
    if value is None or isinstance(field, models.JSONField):
        return value
    return field.value_to_string(row)  # type: ignore[union-attr]


def value_from_plain(row: models.Model, name: str, kept: Any) -> Any:
    """Return a field's value from `plain_value`: a row where the field names another."""
    field = row._meta.get_field(name)
    if kept is None or isinstance(field, models.JSONField):
        return kept
    if isinstance(field, models.ForeignKey):
        return field.related_model._default_manager.get(pk=kept)
    return field.to_python(kept)  # type: ignore[union-attr]


def snapshot(row: models.Model, names: Iterable[str]) -> dict[str, Any]:
    """Return the plain values of some fields of a row."""
    return {name: plain_value(row, name) for name in names}


def write_seen(seen: Mapping[str, Any]) -> str:
    """Return a snapshot as a signed text for a hidden field; the same snapshot, the same text."""
    return SIGNER.sign_object(dict(sorted(seen.items())), compress=True)


def read_seen(text: str) -> dict[str, Any] | None:
    """Return the snapshot of a signed text, or None where it is none of ours."""
    try:
        found = SIGNER.unsign_object(text)
    except (BadSignature, ValueError):
        return None
    return found if isinstance(found, dict) else None
