"""The form of an entry: human input in, SI out, as-written and kinds of empty kept."""

from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError
from django.db import models
from django.utils.text import capfirst

from registry.forms.open_fields import (
    LinesField,
    MarkedChoiceField,
    MarkedDayField,
    NumberField,
    WrittenNumber,
)
from registry.forms.quantity import DayField, MarkedEmpty, QuantityField, unit_hint
from registry.forms.refusals import words_for
from registry.models.choices import ReadingSystem
from registry.models.entry import Change, Entry
from registry.models.seen import Changes, read_seen, snapshot, value_from_plain, write_seen
from registry.units import Kind, System, Written, from_si, read_empty, unit_sign

YES_NO = (("yes", "yes"), ("no", "no"))
Groups = tuple[tuple[str, tuple[str, ...]], ...]
"""Legends, each with the names of the fields below it, in the order of the sheet."""

DASHES = dict(models.fields.BLANK_CHOICE_DASH)[""]

AS_SHOWN = 1e-5
"""A stored quantity is shown with six digits: what differs by less was not written anew."""


class EntryForm(forms.ModelForm):
    """A ModelForm whose measured fields are read in the units of `system`.

    Subclasses name in `quantities` which fields hold which kind of quantity (stored in SI), in
    `ranges` the least and most of bare numbers, and in `plain` what takes no kind of empty.
    Every other field may be answered nk, nm or na. Measures are shown with their units, so that
    choosing other units for the form never gives an old number a new meaning.
    """

    quantities: ClassVar[dict[str, Kind]] = {}
    ranges: ClassVar[dict[str, tuple[float | None, float | None]]] = {}
    plain: ClassVar[frozenset[str]] = frozenset({"note"})
    groups: Groups = ()

    system = forms.ChoiceField(label="units where none is written", choices=ReadingSystem.choices)
    seen = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, system: str, **options: Any) -> None:
        instance = options.get("instance")
        self.is_correction = instance is not None and instance.pk is not None
        super().__init__(*args, **options)
        chosen = self.data.get(self.add_prefix("system"), "") if self.is_bound else ""
        self.chosen_system = System(chosen) if chosen in list(System) else System(system)
        self.fields["system"].initial = self.chosen_system.value
        self.columns = [n for n in self.fields if _column(self.instance, n) is not None]
        self.before = {name: getattr(self.instance, name, None) for name in self._concrete()}
        self._open_fields()
        self.seen_then: dict[str, Any] = {}
        if self.is_correction:
            self.seen_then = snapshot(self.instance, [*self.columns, "empties"])
            self.initial["seen"] = write_seen(self.seen_then)
        self.texts: dict[str, str] = {}
        self.empties: dict[str, str] = {}

    def _concrete(self) -> list[str]:
        if self.is_correction:
            return self.columns
        return [n for n in self.columns if not _column(self.instance, n).is_relation]

    def _open_fields(self) -> None:
        """Put in place of Django's fields those that read what people write."""
        for name in self.columns:
            field, kind = self.fields[name], self.quantities.get(name)
            fresh: forms.Field
            if isinstance(field, LinesField | NumberField | QuantityField | DayField):
                fresh = field
            elif kind is not None:
                fresh = QuantityField(kind, label=field.label, required=field.required)
            else:
                fresh = self._opened(name, field)
            if isinstance(fresh, QuantityField | LinesField):
                fresh.system = self.chosen_system
            if isinstance(fresh, QuantityField):
                fresh.help_text = unit_hint(fresh.kind, self.chosen_system, field.help_text)
            self.fields[name] = self._said_as_on_the_sheet(name, fresh)
            self._show_stored(name, fresh)

    def _said_as_on_the_sheet(self, name: str, field: forms.Field) -> forms.Field:
        """Take back the capital that Django gives to labels, and its dashes for no choice."""
        words = str(_column(self.instance, name).verbose_name)
        if str(field.label) == capfirst(words):
            field.label = words
        if isinstance(field.widget, forms.Textarea) and not isinstance(field, LinesField):
            field.widget.attrs["rows"] = 3
        none = "choose" if field.required else "none chosen"
        if isinstance(field, forms.ModelChoiceField) and field.empty_label == DASHES:
            field.empty_label = none
        elif isinstance(field, forms.TypedChoiceField):
            given = list(field.choices)  # type: ignore[arg-type]
            field.choices = [(v, none if label == DASHES else label) for v, label in given]
        return field

    def _opened(self, name: str, field: forms.Field) -> forms.Field:
        words: dict[str, Any] = {"label": field.label, "help_text": field.help_text}
        if isinstance(field, forms.DateField):
            if field.required or name in self.plain:
                return DayField(required=field.required, **words)
            return MarkedDayField(required=False, **words)
        if isinstance(field, forms.NullBooleanField):
            return MarkedChoiceField(choices=YES_NO, coerce=lambda v: v == "yes", **words)
        if isinstance(field, forms.TypedChoiceField):
            if field.required or name in self.plain:
                return field
            kept = {"coerce": field.coerce, "empty_value": field.empty_value}
            return MarkedChoiceField(choices=field.choices, **kept, **words)
        if isinstance(field, forms.IntegerField | forms.FloatField):
            whole = not isinstance(field, forms.FloatField)
            least, most = self.ranges.get(name, (0, None))
            return NumberField(
                least=least, most=most, whole=whole, required=field.required, **words
            )
        return field

    def _show_stored(self, name: str, field: forms.Field) -> None:
        stored = self.before.get(name)
        if stored in (None, ""):
            if (code := self.instance.empties.get(name)) is not None:
                self.initial[name] = code
        elif isinstance(field, QuantityField):
            self.initial[name] = shown_quantity(stored, field.kind, self.chosen_system)
        elif isinstance(field, NumberField):
            self.initial[name] = _digits(stored)
        elif isinstance(stored, bool) and isinstance(field, MarkedChoiceField):
            self.initial[name] = "yes" if stored else "no"

    @property
    def grouped(self) -> list[tuple[str, list[forms.BoundField]]]:
        """Return the visible fields under their legends, in the order of the sheet."""
        named = {name for _, names in self.groups for name in names}
        rest = [f for f in self.visible_fields() if f.name not in {*named, "system"}]
        parts = [(legend, [self[n] for n in names]) for legend, names in self.groups]
        first = [] if "system" in named else [("", [self["system"]])]
        return [*first, *parts, ("Remark" if self.groups else "", rest)]

    def extras(self) -> dict[str, Any]:
        """Return what the action that stores the entry is told beside the row."""
        return {}

    def clean(self) -> dict[str, Any]:
        """Turn what was read into the row's values; remember texts and kinds of empty."""
        cleaned = super().clean() or self.cleaned_data
        if self.is_correction and cleaned.get("seen") != self.initial["seen"]:
            self._take_what_was_seen(str(cleaned.get("seen", "")))
        for name in self.columns:
            if name in cleaned:
                cleaned[name] = self._settled(name, cleaned[name])
        self._check_span(cleaned)
        return cleaned

    def _take_what_was_seen(self, text: str) -> None:
        """Set the correction against what its writer saw; whether it still holds is asked later."""
        seen = read_seen(text)
        if seen is None or set(seen) != set(self.seen_then):
            self.add_error(
                None,
                "This entry was changed after you opened it. Open it again, look at what it holds "
                "now, and correct it then.",
            )
            return
        self.seen_then = seen
        self.before = {n: value_from_plain(self.instance, n, seen[n]) for n in self.columns}

    def _settled(self, name: str, value: Any) -> Any:
        field = self.fields[name]
        if isinstance(value, str) and not field.required and name not in self.plain:
            is_text = not isinstance(field, forms.ChoiceField)
            if is_text and (code := read_empty(value)) is not None:
                value = MarkedEmpty(code)
        if isinstance(value, MarkedEmpty):
            if field.required:
                self.add_error(name, "This has to be written down.")
            self.empties[name] = value.code
            return None if _column(self.instance, name).null else ""
        if isinstance(value, Written):
            self.texts[name] = value.text
            return value.si
        if isinstance(value, WrittenNumber):
            self.texts[name] = value.text
            return int(value.value) if field.whole else value.value
        if isinstance(field, LinesField) and value:
            self.texts[name] = str(self.data.get(self.add_prefix(name), "")).strip()
        return value

    def _check_span(self, cleaned: dict[str, Any]) -> None:
        begin, end = cleaned.get("from_on"), cleaned.get("to_on")
        if begin and end and end <= begin:
            self.add_error(
                "to_on", "“to” is the first day on which it no longer holds: after “from”."
            )

    def _post_clean(self) -> None:
        # Django would refuse by the name of the constraint; a writer needs words to act on.
        self.instance.validate_constraints = lambda exclude=None: None
        try:
            super()._post_clean()  # type: ignore[misc]
        finally:
            del self.instance.validate_constraints
        self._check_constraints()

    def _check_constraints(self) -> None:
        exclude = set(self.errors)
        model = type(self.instance)
        for constraint in model._meta.constraints:
            try:
                constraint.validate(model, self.instance, exclude=exclude)
            except ValidationError:
                field, words = words_for(constraint.name)
                self.add_error(field if field in self.fields else None, words)

    def entry(self) -> Entry:
        """Return the unsaved row of a valid form, with what was written kept beside."""
        row: Entry = self.instance
        row.as_written = {**row.as_written, **self.texts}
        row.empties = {**row.empties, **self.empties}
        return row

    def changes(self) -> dict[str, Change]:
        """Return the corrections of a valid form against the stored row, by field."""
        if not self.is_correction:
            raise ValueError("This form is for a new entry.")
        found = Changes(seen=self.seen_then)
        for name in self.columns:
            if name not in self.cleaned_data:
                continue
            old, new = self.before[name], self.cleaned_data[name]
            empty = self.empties.get(name, "")
            was = self.seen_then["empties"].get(name, "") if old in (None, "", []) else ""
            if not (_is_same(old, new) and was == empty):
                found[name] = Change(
                    new,
                    self.texts.get(name, ""),
                    seen=old,
                    is_seen_known=True,
                    empty=empty,
                    line=self._line(name, old),
                )
        return found

    def _line(self, name: str, old: Any) -> tuple[str, str]:
        """Return old and new with their units: a bare "602" may be in either system."""
        field = self.fields[name]
        if not isinstance(field, QuantityField):
            return "", ""
        before = self.instance.written(name)
        if old is not None and not has_unit(before):
            before = shown_quantity(old, field.kind, self.chosen_system)
        after = self.texts.get(name, "")
        return before, f"{after} {field.unit}" if after and not has_unit(after) else after


class PartForm(EntryForm):
    """The form of an entry that belongs to a pavement, a site or an organisation: its `parent`."""

    parent_name: ClassVar[str] = "pavement"

    def __init__(self, *args: Any, parent: models.Model, **options: Any) -> None:
        super().__init__(*args, **options)
        self.parent = parent
        if not self.is_correction:
            setattr(self.instance, self.parent_name, parent)
        if "section" in self.fields:
            self.fields["section"].queryset = parent.sections.standing()
            self.fields["section"].empty_label = "the whole pavement"

    def keep_inside_of(self, organisation: models.Model) -> None:
        """Say whose entry it is, where its kind is kept inside one organisation."""

    @classmethod
    def rows(cls, parent: models.Model) -> models.QuerySet:
        """Return the entries of this kind that belong to a parent, void ones included."""
        return cls._meta.model.objects.filter(**{cls.parent_name: parent})

    @classmethod
    def rows_to_correct(cls, parent: models.Model) -> models.QuerySet:
        """Return the same with what their fields point to, by one question. Not to be locked."""
        columns = (_column(cls._meta.model, name) for name in cls._meta.fields or ())
        pointed_to = [c.name for c in columns if c is not None and c.is_relation]
        rows = cls.rows(parent)
        return rows.select_related(*pointed_to) if pointed_to else rows


def _column(row: models.Model | type[models.Model], name: str) -> models.Field | None:
    return next((f for f in row._meta.concrete_fields if f.name == name), None)


def has_unit(text: str) -> bool:
    """Say whether a unit is written behind a number."""
    return any(sign.isalpha() or sign in "'\"′″’”" for sign in text)


def _is_same(old: Any, new: Any) -> bool:
    if isinstance(old, float) and isinstance(new, int | float):
        return abs(old - new) <= AS_SHOWN * abs(old)
    if old in (None, "", []) and new in (None, "", []):
        return True
    return bool(old == new)


def _digits(value: float) -> str:
    return f"{value:.6g}" if abs(value) < 1e6 else f"{value:.0f}"


def shown_quantity(value_si: float, kind: Kind, system: System) -> str:
    """Return a stored quantity as it is offered for correction: "602 ft²"."""
    return f"{_digits(from_si(value_si, kind, system))} {unit_sign(kind, system)}"
