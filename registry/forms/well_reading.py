"""The water in an observation well: so far below its cap, or dry."""

from datetime import date, datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.quantity import ClockField, DayField, MarkedEmpty, QuantityField, join_clock
from registry.models import ObservationWell, Pavement, WellReading
from registry.units import Kind, System, Written


class WellReadingForm(forms.Form):
    """One reading, in the units of `system`."""

    well = forms.ModelChoiceField(label="well", queryset=None, empty_label="choose")
    read_on = DayField(label="date")
    clock = ClockField(label="at, clock at the site")
    to_water = QuantityField(Kind.SMALL_LENGTH, label="from the cap to the water")
    is_dry = forms.BooleanField(label="dry", required=False)
    note = forms.CharField(label="remark, rain since", max_length=300, required=False)

    def __init__(
        self, *args: Any, pavement: Pavement, system: System | str, **options: Any
    ) -> None:
        super().__init__(*args, **options)
        self.pavement = pavement
        self.fields["well"].queryset = ObservationWell.objects.standing().filter(pavement=pavement)
        field = self.fields["to_water"]
        field.system = System(system)
        field.help_text = f"unit {field.unit}, unless you write another"

    def clean(self) -> dict[str, Any]:
        """A reading says one thing: how far to the water, or that there is none."""
        cleaned = super().clean() or self.cleaned_data
        depth, dry = cleaned.get("to_water"), cleaned.get("is_dry")
        if isinstance(depth, MarkedEmpty):
            self.add_error("to_water", "Leave the reading away where none was taken.")
        elif dry and depth is not None:
            self.add_error("to_water", "It is dry, yet a depth is written. Which holds?")
        elif not dry and depth is None and "to_water" not in self.errors:
            self.add_error("to_water", "Write how far it is to the water, or tick dry.")
        self.read_at = None
        if cleaned.get("clock") and cleaned.get("read_on"):
            try:
                self.read_at = self.clock_on(cleaned["read_on"])
            except ValidationError as fault:
                self.add_error("clock", fault)
        return cleaned

    def clock_on(self, day: date) -> datetime | None:
        """Return the instant of the clock on a day. Raises ValidationError."""
        clock = self.cleaned_data.get("clock")
        return join_clock(day, clock, self.pavement.site.time_zone) if clock else None

    def entry(self) -> WellReading:
        """Return the unsaved reading of a valid form."""
        given = self.cleaned_data
        row = WellReading(
            pavement=self.pavement,
            well=given["well"],
            read_on=given["read_on"],
            read_at=self.read_at,
            is_dry=given["is_dry"],
            note=given["note"],
        )
        if isinstance(depth := given["to_water"], Written):
            row.to_water_m = depth.si / 1000
            row.as_written = {"to_water_m": depth.text}
        return row
