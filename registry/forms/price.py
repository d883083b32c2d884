"""The form of a price of cleaning."""

from decimal import Decimal
from typing import Any, ClassVar

from registry.forms.entry import PartForm
from registry.forms.open_fields import NumberField, WrittenNumber
from registry.models import Price
from registry.units import Kind, System, from_si, to_si, unit_sign

SIX_PLACES, CENTS = Decimal("0.000001"), Decimal("0.01")


class PriceForm(PartForm):
    """What a method costs: an amount for each unit of area of the chosen system, a least amount."""

    parent_name = "organisation"
    plain: ClassVar[frozenset[str]] = frozenset({"note", "currency", "source_document", "from_on"})

    per_m2 = NumberField(least=0, required=True, label="price on the area")
    at_least = NumberField(least=0, required=True, label="at least, for one cleaning", initial="0")

    class Meta:
        model = Price
        fields = (
            "method_class",
            "system",
            "per_m2",
            "at_least",
            "currency",
            "source_document",
            "from_on",
            "to_on",
            "note",
        )
        help_texts: ClassVar[dict[str, str]] = {"currency": "as agreed: $, CAD, EUR"}

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["system"].label = "price for an area in the units"
        self.fields["per_m2"].help_text = f"for each {self.unit}; the units above decide"
        if self.is_correction:
            self.initial["per_m2"] = f"{self._per_unit(self.before['per_m2']):.6g}"
            self.initial["at_least"] = f"{self.before['at_least']:.2f}"

    @property
    def unit(self) -> str:
        """Return the sign of the unit of area that the price is for."""
        return unit_sign(Kind.AREA, self.chosen_system)

    def _per_unit(self, per_m2: Any) -> float:
        return float(per_m2) * to_si(1.0, Kind.AREA, self.chosen_system)

    def _settled(self, name: str, value: Any) -> Any:
        if not isinstance(value, WrittenNumber):
            return super()._settled(name, value)
        if name == "per_m2":
            self.texts[name] = f"{value.text} per {self.unit}"
            per_m2 = value.value * from_si(1.0, Kind.AREA, self.chosen_system)
            if self.is_correction and self._is_as_shown(value.value):
                return self.before[name]
            return Decimal(repr(per_m2)).quantize(SIX_PLACES)
        self.texts[name] = value.text
        return Decimal(repr(value.value)).quantize(CENTS)

    def _is_as_shown(self, per_unit: float) -> bool:
        """Say whether the number is the one that was offered: then it was not written anew."""
        shown = self._per_unit(self.before["per_m2"])
        return abs(per_unit - shown) <= 1e-5 * abs(shown)

    def _line(self, name: str, old: Any) -> tuple[str, str]:
        if name != "per_m2":
            return super()._line(name, old)
        unit = unit_sign(Kind.AREA, System.SI)
        before = self.instance.written(name) or f"{old} per {unit}"
        return before, self.texts[name]
