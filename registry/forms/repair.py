"""The form of a repair."""

from typing import Any, ClassVar

from django import forms

from registry.forms.callback import SharesField, shares_in_words
from registry.forms.site_entry import SiteEntryForm
from registry.models import Repair, WarrantyPart
from registry.units import Kind


class RepairForm(SiteEntryForm):
    """What is repaired, how, as measured and as squared, and its cover."""

    parent_name: ClassVar[str] = "pavement"
    plain: ClassVar[frozenset[str]] = frozenset(
        {
            "note", "number", "reason", "method", "panels_text", "price_unit", "unit_price",
            "currency", "share_percents", "out_on", "in_on", "opened_on", "first_look_on",
        }
    )  # fmt: skip
    quantities: ClassVar[dict[str, Kind]] = {
        "measured_m2": Kind.AREA,
        "squared_m2": Kind.AREA,
        "measured_m": Kind.LENGTH,
        "squared_m": Kind.LENGTH,
    }
    panel_fields = {"panels_text": "panels"}
    said = {"share_percents": shares_in_words}
    groups = (
        ("What and why", ("number", "reason", "method", "callback")),
        (
            "Where and how much",
            ("panels_text", "measured_m2", "squared_m2", "measured_m", "squared_m"),
        ),
        ("When", ("out_on", "in_on", "opened_on")),
        ("Price and shares", ("unit_price", "currency", "price_unit", "share_percents")),
        ("After", ("looks", "warranty_part", "first_look_on", "first_look_sound")),
    )
    unit_price = forms.DecimalField(
        label="price per unit", max_digits=10, decimal_places=2, min_value=0, required=False
    )
    share_percents = SharesField(
        label="shares, %", required=False, help_text="contractor 25, owner 75"
    )

    class Meta:
        model = Repair
        fields = (
            "number", "reason", "method", "callback", "panels_text", "measured_m2", "squared_m2",
            "measured_m", "squared_m", "out_on", "in_on", "opened_on", "unit_price", "currency",
            "price_unit", "share_percents", "looks", "warranty_part", "first_look_on",
            "first_look_sound", "note",
        )  # fmt: skip
        help_texts = {
            "panels_text": "C5-C11; or the saw lines in words",
            "squared_m2": "to joints or saw lines; both stay on the record",
            "currency": "as agreed: $, CAD, EUR",
        }

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["callback"].queryset = self.pavement.callbacks.standing()
        self.fields["callback"].empty_label = "none"
        parts = WarrantyPart.objects.standing().filter(warranty__pavement=self.pavement)
        self.fields["warranty_part"].queryset = parts
        self.fields["warranty_part"].empty_label = "none entered yet"

    def clean(self) -> dict[str, Any]:
        """Squared is not smaller than measured; a price has its unit; new follows old."""
        cleaned = super().clean()
        for name in ("m2", "m"):
            measured, squared = cleaned.get(f"measured_{name}"), cleaned.get(f"squared_{name}")
            if measured is not None and squared is not None and squared < measured:
                words = "Squared to joints or saw lines it cannot be smaller than as measured."
                self.add_error(f"squared_{name}", words)
        if cleaned.get("unit_price") is not None and not cleaned.get("price_unit"):
            self.add_error("price_unit", "Say per what: ft², m², ft or m.")
        if cleaned.get("unit_price") is not None and not cleaned.get("currency"):
            self.add_error("currency", "Say in which currency: $, CAD, EUR.")
        out, back = cleaned.get("out_on"), cleaned.get("in_on")
        if out and back and back < out:
            self.add_error("in_on", "New concrete comes in on the day the old went out, or later.")
        return cleaned
