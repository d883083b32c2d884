"""One look at a defect: only the measures of its kind are asked, the deciding ones first."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.entry import shown_quantity
from registry.forms.quantity import DayField, MarkedEmpty, QuantityField
from registry.forms.rescaled import RescaledForm
from registry.models import Defect, Observation
from registry.models.observation import MEASURES
from registry.units import Kind, System

MOST_MINUTES = 60 * 24 * 14
BEGIN = ("found", "why_not", "seen_on", "seen_by", "good_light")
END = ("method", "tool")
IN_MM = ("crack_width_m", "typical_width_m")
"""Widths of cracks are read from a card in mm, in either system."""

SMALL = ("width_m", *IN_MM, "lip_m", "depth_m", "size_m", "ravels_to_m")
UNIT_NEEDED = "Write its unit: 6 oz or 170 g."
CARD_UNIT = "unit mm, as on the card, unless you write another"


class SweptField(QuantityField):
    """Stone swept off: ounces are as likely as pounds, so that a bare number is asked."""

    def clean(self, value: Any) -> Any:
        """Refuse a number without its unit."""
        read = super().clean(value)
        is_number = read is not None and not isinstance(read, MarkedEmpty)
        if is_number and not any(sign.isalpha() for sign in str(value)):
            raise ValidationError(f"“{value}” may be ounces or pounds. {UNIT_NEEDED}")
        return read


class ObservationForm(RescaledForm):
    """A look at a defect of a kind, in the units of the sheet.

    asks, label: the measures of its kind, the deciding ones first, and its name.
    defect: the defect it is of, None where it is noted together with it.
    leaves_out: of BEGIN, what is settled already, as "found" is of a new defect.
    A visit's own answers are in `visit_answer`.
    """

    quantities = {
        "area_m2": Kind.AREA,
        "length_m": Kind.LENGTH,
        **dict.fromkeys(SMALL, Kind.SMALL_LENGTH),
    }
    scales = {**dict.fromkeys(SMALL, 1000), "panel_share": 100}
    ranges = {
        "frame_points": (0, 100),
        "count": (0, 100_000),
        "stones_deep": (0, 100),
        "water_minutes": (0, MOST_MINUTES),
        "panel_share": (0, 100),
    }
    plain = frozenset({"note", "found", "why_not", "seen_by", "tool"})
    severity = forms.ChoiceField(
        label="severity",
        required=False,
        help_text="Leave it to the measures. By eye only where they cannot be taken; it says so.",
        choices=[
            ("", "by what was measured"),
            ("low", "low, by eye"),
            ("moderate", "moderate, by eye"),
            ("high", "high, by eye"),
        ],
    )
    swept_kg = SweptField(Kind.MASS)

    class Meta:
        model = Observation
        fields = (*BEGIN, *MEASURES, *END, "note")

    def __init__(
        self,
        *args: Any,
        asks: tuple[str, ...],
        label: str,
        defect: Defect | None = None,
        leaves_out: tuple[str, ...] = (),
        **options: Any,
    ) -> None:
        self.asks, self.leaves_out = asks, leaves_out
        super().__init__(*args, **options)
        self.groups = (
            ("The look", tuple(n for n in BEGIN if n not in leaves_out)),
            (f"Measures: {label}", asks),
            ("How it was measured", (*END, "severity")),
        )
        if defect is not None:
            self.instance.defect = defect
        if self.is_correction:
            by_eye = self.instance.severity_by_eye
            self.initial["severity"] = self.instance.severity if by_eye else ""

    def _open_fields(self) -> None:
        """Leave the measures of other kinds away; put the others in the order of the kind."""
        for name in (set(MEASURES) - set(self.asks)) | set(self.leaves_out):
            del self.fields[name]
        self.order_fields(["system", *BEGIN, *self.asks, *END, "severity", "note"])
        # Severity goes by the measures: it is no column of the form, the action works it out.
        self.columns = [n for n in self.fields if n in self.columns and n != "severity"]
        if "seen_on" in self.fields:
            self.fields["seen_on"] = DayField(label="seen on")
        super()._open_fields()
        for name in self.asks:
            self._name_measure(name)

    def _name_measure(self, name: str) -> None:
        field = self.fields[name]
        if name == "panel_share":
            field.help_text = "in per cent, 0 to 100"
        if name in IN_MM and isinstance(field, QuantityField):
            field.system, field.help_text = System.SI, CARD_UNIT
            if (stored := self.before.get(name)) is not None:
                self.initial[name] = shown_quantity(1000 * stored, field.kind, System.SI)
        if name == "swept_kg":
            field.help_text = UNIT_NEEDED

    @property
    def by_eye(self) -> str:
        """Return the severity given by eye, an empty string where the measures give it."""
        return str(self.cleaned_data.get("severity") or "")

    def clean(self) -> dict[str, Any]:
        """Check that the answer and the measures go together."""
        cleaned = super().clean()
        found = cleaned.get("found", "found" if "found" in self.leaves_out else None)
        if found == "could_not_look" and not cleaned.get("why_not"):
            self.add_error("why_not", "Say why you could not look.")
        if found == "found" and cleaned.get("why_not"):
            self.add_error("why_not", "It is found; why then could nobody look?")
        measured = [name for name in self.asks if cleaned.get(name) not in (None, "")]
        if found in ("not_found", "could_not_look") and (measured or cleaned.get("severity")):
            words = dict(Observation.Found.choices)[found]
            self.add_error("found", f"It is {words}, yet a measure or severity is written.")
        return cleaned

    def entry(self) -> Observation:
        """Return the unsaved look, with a severity where it was given by eye."""
        row: Observation = super().entry()  # type: ignore[assignment]
        row.severity, row.severity_by_eye = self.by_eye, bool(self.by_eye)
        return row

    def extras(self) -> dict[str, Any]:
        """Return what the correction is told beside the changes: the severity by eye, if any."""
        return {"by_eye": self.by_eye}
