"""The form of an entry: human input in, SI out, as-written and kinds of empty kept."""

from typing import Any, ClassVar

from django import forms
from django.db import models

from registry.forms.quantity import DayField, MarkedEmpty, QuantityField
from registry.models.choices import ReadingSystem
from registry.models.entry import Change, Entry
from registry.units import Kind, System, from_si, show_number


class EntryForm(forms.ModelForm):
    """A ModelForm whose measured fields are read in the units of `system`.

    Subclasses name in `quantities` which fields hold which kind of quantity (stored in SI).
    Every field but the required ones may be answered nk, nm or na.
    """

    quantities: ClassVar[dict[str, Kind]] = {}
    system = forms.ChoiceField(label="units on this form", choices=ReadingSystem.choices)

    def __init__(self, *args: Any, system: str, **options: Any) -> None:
        instance = options.get("instance")
        self.is_correction = instance is not None and instance.pk is not None
        super().__init__(*args, **options)
        chosen = self.data.get(self.add_prefix("system"), "") if self.is_bound else ""
        self.chosen_system = System(chosen) if chosen in list(System) else System(system)
        self.fields["system"].initial = self.chosen_system.value
        for name, field in list(self.fields.items()):
            if name in self.quantities:
                self._make_quantity(name, field)
            elif isinstance(field, forms.DateField):
                self.fields[name] = DayField(
                    label=field.label, required=field.required, help_text=field.help_text
                )

    def _make_quantity(self, name: str, old: forms.Field) -> None:
        field = QuantityField(self.quantities[name], label=old.label, required=old.required)
        field.system = self.chosen_system
        field.help_text = old.help_text or f"in {field.unit}, unless you write the unit"
        self.fields[name] = field
        stored = getattr(self.instance, name, None)
        if stored is not None:
            shown = from_si(stored, field.kind, field.system)
            self.initial[name] = f"{shown:.6g}"
        elif name in self.instance.empties:
            self.initial[name] = self.instance.empties[name]

    def clean(self) -> dict[str, Any]:
        """Turn quantities into SI; remember texts and kinds of empty."""
        cleaned = super().clean() or self.cleaned_data
        self.texts: dict[str, str] = {}
        self.empties: dict[str, str] = {}
        for name in self.quantities:
            value = cleaned.get(name)
            if isinstance(value, MarkedEmpty):
                self.empties[name] = value.code
                cleaned[name] = None
            elif value is not None:
                self.texts[name] = value.text
                cleaned[name] = value.si
        return cleaned

    def entry(self) -> Entry:
        """Return the unsaved row of a valid form, with what was written kept beside."""
        row: Entry = self.instance
        row.as_written = {**row.as_written, **self.texts}
        row.empties = {**row.empties, **self.empties}
        return row

    def changes(self) -> dict[str, Change]:
        """Return the corrections of a valid form against the stored row."""
        stored = type(self.instance).objects.get(pk=self.instance.pk)
        found = {}
        for name in self.changed_data:
            if name not in self.cleaned_data or not _is_column(self.instance, name):
                continue
            found[name] = Change(
                value=self.cleaned_data[name],
                text=self.texts.get(name, ""),
                seen=getattr(stored, name),
            )
        return found


def _is_column(row: models.Model, name: str) -> bool:
    return any(f.name == name for f in row._meta.concrete_fields)


def shown_number(value: float, kind: Kind, system: System) -> str:
    """Return a stored SI value as a bare number in a system's unit, for a form's help."""
    return show_number(from_si(value, kind, system), 1)
