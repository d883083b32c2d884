"""The form of a test ring."""

from typing import Any

from registry.forms.entry import PartForm
from registry.models import Ring
from registry.models.reading_limits import beyond_limits
from registry.units import Kind, System, Written, unit_sign


class RingForm(PartForm):
    """A ring and its inside diameter as measured, kept in the unit it was measured in."""

    parent_name = "organisation"
    quantities = {"inside_diameter": Kind.RING}

    class Meta:
        model = Ring
        fields = ("name", "system", "inside_diameter", "measured_on", "note")
        help_texts = {
            "inside_diameter": "The mean of several measures, not the size it is sold as."
        }

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["system"].label = "measured in"
        if self.is_correction:
            self.initial["system"] = self.instance.system
            unit = unit_sign(Kind.RING, System(self.instance.system))
            self.initial["inside_diameter"] = f"{self.before['inside_diameter']:.6g} {unit}"

    def _line(self, name: str, old: Any) -> tuple[str, str]:
        if name != "inside_diameter":
            return super()._line(name, old)
        before = f"{old:.6g} {unit_sign(Kind.RING, System(str(self.before['system'])))}"
        unit = unit_sign(Kind.RING, self.chosen_system)
        return before, f"{self.cleaned_data[name]:.6g} {unit}"

    def _settled(self, name: str, value: Any) -> Any:
        if name == "inside_diameter" and isinstance(value, Written):
            self.texts[name] = value.text
            if value.system != self.chosen_system:
                self.add_error(name, f"This is in {value.unit}; say that it was measured so.")
            beyond = beyond_limits("ring", value.standard, self.chosen_system)
            if value.standard > 0 and beyond:
                self.add_error(name, beyond)
            return value.standard
        return super()._settled(name, value)
