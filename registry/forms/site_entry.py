"""The form of an entry at a site: instants by the clock there, panels as names of the plan."""

from datetime import date
from typing import Any, ClassVar

from django import forms
from django.db import models

from registry.faults import DomainError
from registry.forms.hours import ListsForm
from registry.forms.instant import InstantField, WrittenInstant
from registry.models import Pavement
from registry.models.entry import Change, Entry
from registry.models.panel_names import read_names

STEPS_UP = ("pavement", "placing_day", "load", "warranty", "callback", "lot", "repair")


def pavement_above(row: models.Model) -> Pavement:
    """Return the pavement to which a parent belongs."""
    if isinstance(row, Pavement):
        return row
    for step in STEPS_UP:
        above = getattr(row, step, None)
        if isinstance(above, models.Model):
            return pavement_above(above)
    raise ValueError(f"{row!r} belongs to no pavement")


class SiteEntryForm(ListsForm):
    """A form whose instants are written by the clock at the site.

    `day` is the one that a clock without a day is on. `panel_fields` maps a text field to the
    column of names it is read into, by the plan as it was on `panels_on`.
    """

    panel_fields: ClassVar[dict[str, str]] = {}

    def __init__(self, *args: Any, parent: models.Model, **options: Any) -> None:
        self.pavement = pavement_above(parent)
        self.day = self.day_of(parent)
        super().__init__(*args, parent=parent, **options)
        self.names: dict[str, list[str]] = {}

    def day_of(self, parent: models.Model) -> date | None:
        """Return the day on which a clock without a day is meant."""
        return None

    def panels_on(self, cleaned: dict[str, Any]) -> date | None:
        """Return the day whose plan names the panels; None is the plan in force."""
        return self.day

    def _opened(self, name: str, field: forms.Field) -> forms.Field:
        if isinstance(field, forms.DateTimeField):
            words: dict[str, Any] = {"label": field.label, "help_text": field.help_text}
            zone = self.pavement.site.time_zone
            return InstantField(zone=zone, day=self.day, required=field.required, **words)
        return super()._opened(name, field)

    def _show_stored(self, name: str, field: forms.Field) -> None:
        stored = self.before.get(name)
        if isinstance(field, InstantField) and stored is not None:
            self.initial[name] = field.shown(stored)
        else:
            super()._show_stored(name, field)

    def _settled(self, name: str, value: Any) -> Any:
        if isinstance(value, WrittenInstant):
            self.texts[name] = value.text
            return value.at
        return super()._settled(name, value)

    def clean(self) -> dict[str, Any]:
        """Read the panels named."""
        cleaned = super().clean()
        for field, column in self.panel_fields.items():
            if field in cleaned:
                self._read_panels(field, column, cleaned)
        return cleaned

    def _read_panels(self, field: str, column: str, cleaned: dict[str, Any]) -> None:
        day, text = self.panels_on(cleaned), str(cleaned.get(field) or "")
        rows = self.pavement.panels.standing()
        there = rows.existing_on(day) if day else rows.filter(exists_to_on__isnull=True)
        names = list(there.values_list("name", flat=True)) if text else []
        self.names[column] = []
        if not names:  # a path, pavers: the words alone stand
            return
        try:
            self.names[column] = read_names(text, names)
        except DomainError as fault:
            self.add_error(field, fault.message)

    def entry(self) -> Entry:
        """Return the unsaved row with the names of its panels."""
        row = super().entry()
        for column, names in self.names.items():
            setattr(row, column, names)
        return row

    def changes(self) -> dict[str, Change]:
        """Return the corrections, names of panels among them."""
        found = super().changes()
        for column, names in self.names.items():
            old = getattr(type(self.instance).objects.get(pk=self.instance.pk), column)
            if old != names:
                told = (", ".join(old), ", ".join(names))
                found[column] = Change(names, "", seen=old, is_seen_known=True, line=told)
        return found
