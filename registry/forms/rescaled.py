"""Measures written in another size than they are stored: inches for metres, % for parts."""

from typing import Any, ClassVar

from django import forms

from registry.forms.entry import EntryForm
from registry.forms.open_fields import NumberField
from registry.forms.quantity import QuantityField


class RescaledForm(EntryForm):
    """An entry some of whose columns are written as a multiple of what is stored.

    `scales` names how many of the written there are in one of the stored: 1000 mm in a metre.
    """

    scales: ClassVar[dict[str, int]] = {}

    def _show_stored(self, name: str, field: forms.Field) -> None:
        stored = self.before.get(name)
        if name not in self.scales or stored in (None, ""):
            super()._show_stored(name, field)
            return
        try:
            self.before[name] = stored * self.scales[name]
            super()._show_stored(name, field)
        finally:
            self.before[name] = stored

    def _settled(self, name: str, value: Any) -> Any:
        settled = super()._settled(name, value)
        if name in self.scales and isinstance(settled, int | float):
            return settled / self.scales[name]
        return settled

    def _line(self, name: str, old: Any) -> tuple[str, str]:
        """Return old and new as they are written, not as they are stored."""
        if name not in self.scales:
            return super()._line(name, old)
        written = None if old is None else old * self.scales[name]
        if isinstance(self.fields[name], QuantityField):
            return super()._line(name, written)
        shown = "" if written is None else f"{written:g}"
        assert isinstance(self.fields[name], NumberField)
        return self.instance.written(name) or shown, self.texts.get(name, "")
