"""Forms of a re-survey, of a datum that is gone, and of one that was rebuilt."""

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.open_fields import LinesField
from registry.forms.plan_lines import PointsField
from registry.forms.quantity import DayField, MarkedEmpty, QuantityField, unit_hint
from registry.forms.reason import ReasonForm
from registry.models.choices import ReadingSystem
from registry.units import Kind, System

_JOINT = re.compile(r"(.+?)[:,]\s+plan\s+(.+?)[,;]?\s+found\s+(.+)", re.IGNORECASE)


class _MeasuredForm(forms.Form):
    """A form with lengths, read in the units of `system`."""

    system = forms.ChoiceField(label="units where none is written", choices=ReadingSystem.choices)

    def __init__(self, *args: Any, system: str, **options: Any) -> None:
        super().__init__(*args, **options)
        chosen = self.data.get("system", "") if self.is_bound else ""
        self.chosen_system = System(chosen) if chosen in list(System) else System(system)
        self.fields["system"].initial = self.chosen_system.value
        for field in self.fields.values():
            if isinstance(field, QuantityField | LinesField):
                field.system = self.chosen_system
                field.help_text = unit_hint(Kind.LENGTH, self.chosen_system, field.help_text)

    def _clean_length(self, name: str) -> float:
        value = self.cleaned_data[name]
        if isinstance(value, MarkedEmpty) or value.si <= 0:
            raise ValidationError("This length has to be measured, and is above zero.")
        return float(value.si)


class JointsField(LinesField):
    """Joints taped from the datum: "A5|A6: plan 60, found 60.2"; cleans to (name, m, m)."""

    def read_line(self, line: str) -> tuple[str, float, float]:
        """Return the joint's name, its distance on the plan and as found."""
        found = _JOINT.fullmatch(line)
        if found is None:
            raise ValidationError("Write it as A5|A6: plan 60, found 60.2.")
        return found[1].strip(), self.length(found[2]), self.length(found[3])


class ResurveyForm(_MeasuredForm):
    """The check length and three joints, measured anew."""

    measured_on = DayField(label="measured on")
    measured_by = forms.CharField(label="measured by", max_length=120, required=False)
    check_length = QuantityField(Kind.LENGTH, label="check length as found", required=True)
    joints = JointsField(
        label="joints, from the datum",
        required=True,
        help_text="Three at least, one a line: A5|A6: plan 60, found 60.2.",
    )

    def clean_check_length(self) -> float:
        """Return metres."""
        return self._clean_length("check_length")


class DatumLostForm(ReasonForm):
    """That the datum was found gone."""

    on = DayField(label="found gone on")
    field_order = ("on", "why")


class DatumFromTiesForm(_MeasuredForm):
    """Two fixed things in a flat frame, and how far each lay from the datum."""

    first = PointsField(
        label="the first thing",
        required=True,
        help_text="From a tape line: R 0 U 0.",
    )
    first_tie = QuantityField(Kind.LENGTH, label="its tie to the datum", required=True)
    second = PointsField(
        label="the second thing", required=True, help_text="In the same frame: R 0 U 24.5."
    )
    second_tie = QuantityField(Kind.LENGTH, label="its tie to the datum ", required=True)

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        for name in ("first", "second"):
            self.fields[name].widget = forms.TextInput(attrs={"autocomplete": "off"})

    def clean_first_tie(self) -> float:
        """Return metres."""
        return self._clean_length("first_tie")

    def clean_second_tie(self) -> float:
        """Return metres."""
        return self._clean_length("second_tie")

    def clean(self) -> dict[str, Any]:
        """Each thing is one point."""
        cleaned = super().clean() or self.cleaned_data
        for name in ("first", "second"):
            if cleaned.get(name) is not None and len(cleaned[name]) != 1:
                self.add_error(name, "Write one point.")
        return cleaned


class FoundJointsField(LinesField):
    """Joints of the plan found again: "R 12 U 24 at R 3.1 U 8.0"; cleans to two points."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        self.point = PointsField()

    def read_line(self, line: str) -> tuple[list[float], list[float]]:
        """Return the joint's place on the plan and in the frame measured in."""
        plan, sign, found = line.partition(" at ")
        if not sign:
            raise ValidationError("Write its place on the plan, at, where it was found.")
        self.point.system = self.system
        return self.point.read_line(plan.strip()), self.point.read_line(found.strip())


class DatumFromJointsForm(_MeasuredForm):
    """Three joints or more found again, where the ties are gone too."""

    joints = FoundJointsField(
        label="joints found again",
        required=True,
        help_text="Three at least: on the plan, then as found from a tape line: "
        "R 12 U 24 at R 3.1 U 8.0.",
    )


class DatumRebuiltForm(_MeasuredForm, ReasonForm):
    """That the datum was marked anew, how, and how badly the measures fit."""

    on = DayField(label="marked anew on")
    datum = forms.CharField(label="the datum now", max_length=240)
    misfit = QuantityField(Kind.LENGTH, label="misfit", required=True)
    field_order = ("system", "on", "datum", "misfit", "why")

    def clean_misfit(self) -> float:
        """Return metres; 0 where the measures meet."""
        value = self.cleaned_data["misfit"]
        if isinstance(value, MarkedEmpty):
            raise ValidationError("The misfit is worked out above: write it, also if it is 0.")
        return float(value.si)
