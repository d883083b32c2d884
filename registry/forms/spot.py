"""The forms of a spot: a fixed point, its end, a draw of random spots."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.entry import PartForm
from registry.forms.plan_lines import RectanglesField
from registry.forms.quantity import DayField, unit_hint
from registry.forms.reason import ReasonForm
from registry.models import Spot
from registry.models.choices import ReadingSystem, StratumKind
from registry.units import Kind, System


class SpotForm(PartForm):
    """A fixed point for life, by the place where the ring stands."""

    plain = frozenset({"note", "place"})

    class Meta:
        model = Spot
        fields = ("name", "stratum", "place", "note")
        labels = {"place": "place"}

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["place"].help_text = unit_hint(
            Kind.LENGTH,
            self.chosen_system,
            "D6 · 3.2 R · 8.5 U in a panel, 1+20 R 1.5 on a path, g(3,5) · 2.0 R · 4.0 U in a "
            "square; D6 alone if only the panel is known",
        )

    def entry(self) -> Spot:
        """Return the unsaved fixed point."""
        row: Spot = super().entry()  # type: ignore[assignment]
        row.is_fixed = True
        return row


class EndSpotForm(ReasonForm):
    """That nothing is measured at a spot any more."""

    on = DayField(label="ended on")
    field_order = ("on", "why")


class SkipSpotForm(ReasonForm):
    """That no ring can stand on a drawn spot."""

    on = DayField(label="seen on")
    field_order = ("on", "why")


class InTheWayField(RectanglesField):
    """Where no ring can stand that day: "R 0-20 U 0-18: parked car"."""

    def read_line(self, line: str) -> tuple[str, list[float]]:  # type: ignore[override]
        """Return the reason and the rectangle."""
        place, sign, reason = line.partition(":")
        if not (sign and reason.strip()):
            raise ValidationError("Write it as R 0-20 U 0-18: parked car.")
        return reason.strip(), super().read_line(place.strip())

    def clean(self, value: Any) -> list[Any]:
        """Refuse one reason for two places: the draw tells of each by its reason."""
        found = super().clean(value)
        if len({reason for reason, _ in found}) != len(found):
            raise ValidationError("Give each place a reason of its own: parked car 1, car 2.")
        return found


class DrawForm(forms.Form):
    """How many spots of each stratum, and what is in the way."""

    system = forms.ChoiceField(label="units where none is written", choices=ReadingSystem.choices)
    in_the_way = InTheWayField(
        label="where no ring can stand",
        help_text="Beside joints, drains and wells, which the plan knows. One a line: "
        "R 0-20 U 0-18: parked car.",
    )

    def __init__(
        self,
        *args: Any,
        system: str,
        least: dict[str, int],
        proposed: dict[str, int],
        required: int,
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.least, self.required = least, required
        chosen = self.data.get("system", "") if self.is_bound else ""
        self.chosen_system = System(chosen) if chosen in list(System) else System(system)
        self.fields["system"].initial = self.chosen_system.value
        blocked = self.fields["in_the_way"]
        blocked.system = self.chosen_system
        blocked.help_text = unit_hint(Kind.LENGTH, self.chosen_system, blocked.help_text)
        for name, count in proposed.items():
            self.fields[f"count_{name}"] = forms.IntegerField(
                label=f"spots, {StratumKind(name).label}",
                min_value=least[name],
                max_value=60,
                initial=count,
                help_text=f"at least {least[name]}",
            )

    @property
    def counts(self) -> dict[str, int]:
        """Return the spots asked of each stratum."""
        return {name: self.cleaned_data[f"count_{name}"] for name in self.least}

    def clean(self) -> dict[str, Any]:
        """As many as the area requires, or more."""
        cleaned = super().clean() or self.cleaned_data
        asked = [cleaned[n] for n in (f"count_{name}" for name in self.least) if n in cleaned]
        if len(asked) == len(self.least) and sum(asked) < self.required:
            raise ValidationError(
                f"At least {self.required} spots are required for this area; "
                f"{sum(asked)} are asked."
            )
        return cleaned
