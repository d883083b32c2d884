"""A visit's answer to one known defect, and a new defect as the sheet's row has it."""

from typing import Any

from django import forms

from registry.forms.open_fields import NumberField, WrittenNumber
from registry.forms.quantity import MarkedEmpty, QuantityField
from registry.models import Defect, Observation
from registry.units import Kind, System, Written

EXTENTS: dict[str, tuple[str, Kind | None]] = {
    "m2": ("area_m2", Kind.AREA),
    "m": ("length_m", Kind.LENGTH),
    "mm": ("lip_m", Kind.SMALL_LENGTH),
    "count": ("count", None),
}
"""Unit of a kind of defect -> the column of its extent, and how it is read."""

EYE = [("", "by what was measured"), ("low", "low"), ("moderate", "moderate"), ("high", "high")]
LIGHT = [("", "nobody noted it"), ("yes", "good"), ("no", "bad")]
FOUND = [("found", "found"), ("not_found", "not found"), ("could_not_look", "could not look")]
HEIGHTS = {"lip_m": "lip", "crack_width_m": "width", "width_m": "width", "depth_m": "depth"}


class MeasuredForm(forms.Form):
    """What two forms of a row share: measures of one kind of defect, in the units of `system`."""

    severity = forms.ChoiceField(label="severity by eye", choices=EYE, required=False)

    def __init__(self, *args: Any, system: System | str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.system = System(system)
        self.texts: dict[str, str] = {}
        self.empties: dict[str, str] = {}
        self.values: dict[str, float | int | str | None] = {}

    def add_extent(self, unit: str) -> None:
        """Put the field of the extent in place, as the kind is measured."""
        self.fields["extent"] = extent_field(unit, self.system)

    def take(self, column: str, value: Any) -> None:
        """Keep a measure under its column, with its text or its kind of empty."""
        if isinstance(value, MarkedEmpty):
            self.empties[column] = value.code
        elif isinstance(value, Written):
            small = value.kind is Kind.SMALL_LENGTH
            self.values[column] = value.si / 1000 if small else value.si
            self.texts[column] = value.text
        elif isinstance(value, WrittenNumber):
            self.values[column] = int(value.value)
            self.texts[column] = value.text

    def look(self, **fields: Any) -> Observation:
        """Return the unsaved look of a valid form."""
        severity = self.cleaned_data.get("severity", "")
        row = Observation(
            severity=severity, severity_by_eye=bool(severity), **self.values, **fields
        )
        row.as_written, row.empties = dict(self.texts), dict(self.empties)
        return row


def extent_field(unit: str, system: System) -> forms.Field:
    """Return the field of an extent in m2, m, mm or a count."""
    _, kind = EXTENTS[unit]
    if kind is None:
        return NumberField(label="count", least=0, whole=True)
    label = {Kind.AREA: "area now", Kind.LENGTH: "length now"}.get(kind, "height now")
    field = QuantityField(kind, label=label)
    field.system = system
    field.help_text = f"unit {field.unit}, unless you write another"
    return field


class AnswerForm(MeasuredForm):
    """Found, not found or could not look; with the extent now where it was measured."""

    found = forms.ChoiceField(label="found", choices=FOUND)
    seen = forms.IntegerField(widget=forms.HiddenInput, required=False, max_value=2**62)
    why_not = forms.CharField(label="could not look because", max_length=160, required=False)
    good_light = forms.ChoiceField(label="light", choices=LIGHT, required=False)
    note = forms.CharField(label="remark, photo no.", max_length=500, required=False)

    def __init__(
        self,
        *args: Any,
        defect: Defect,
        unit: str,
        asks_lip: bool,
        answer: Observation | None = None,
        **options: Any,
    ) -> None:
        self.defect, self.unit, self.answer = defect, unit, answer
        options.setdefault("prefix", f"d{defect.pk}")
        if answer is not None:
            options.setdefault("initial", _initial(answer, unit))
        super().__init__(*args, **options)
        self.add_extent(unit)
        if asks_lip and unit != "mm":
            lip = QuantityField(Kind.SMALL_LENGTH, label="lip")
            lip.system = self.system
            lip.help_text = f"unit {lip.unit}, unless you write another"
            self.fields["lip"] = lip
        self.order_fields(["found", "why_not", "extent", "lip", "severity", "good_light", "note"])

    @property
    def details(self) -> list[forms.BoundField]:
        """Return the fields beside the three presses."""
        return [f for f in self.visible_fields() if f.name != "found"]

    def clean(self) -> dict[str, Any]:
        """Check that the answer and its measures go together."""
        cleaned = super().clean() or self.cleaned_data
        column, _ = EXTENTS[self.unit]
        self.take(column, cleaned.get("extent"))
        self.take("lip_m", cleaned.get("lip"))
        found = cleaned.get("found")
        if found == "could_not_look" and not cleaned.get("why_not"):
            self.add_error("why_not", "Say why you could not look.")
        if found in ("not_found", "could_not_look") and (self.values or cleaned.get("severity")):
            words = dict(FOUND)[found]
            self.add_error(
                "extent", f"It is {words}, yet an extent or severity is written. Which holds?"
            )
        if found == "found" and cleaned.get("why_not"):
            self.add_error("why_not", "It is found; why then could nobody look?")
        return cleaned

    def observation(self, **fields: Any) -> Observation:
        """Return the unsaved answer of a valid form."""
        given = self.cleaned_data
        return self.look(
            defect=self.defect,
            found=given["found"],
            why_not=given["why_not"] if given["found"] == "could_not_look" else "",
            good_light=given["good_light"],
            note=given["note"],
            **fields,
        )


def _initial(row: Observation, unit: str) -> dict[str, Any]:
    column, _ = EXTENTS[unit]
    return {
        "seen": row.pk,
        "found": row.found,
        "why_not": row.why_not,
        "good_light": row.good_light,
        "note": row.note,
        "severity": row.severity if row.severity_by_eye else "",
        "extent": row.written(column) or row.empties.get(column, ""),
        "lip": row.written("lip_m") or row.empties.get("lip_m", ""),
    }
