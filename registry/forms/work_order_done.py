"""The form of what was done of an order, for a thumb: few fields first, the rest folded away."""

from typing import Any

from django import forms

from registry.forms.cleaning import CleaningForm
from registry.forms.row_choice import PanelsField, short_ticks
from registry.models import Cleaning, WorkOrder

FIRST = ("state", "done_on", "started_clock", "ended_clock", "operator", "swept_with", "passes")
ROWS = ("missed", "missed_why", "rows_text", "area_m2")
OFF = (
    "debris_m3", "debris_is_guessed", "debris_bags", "debris_wet", "debris_look", "water_used_l",
    "water_disposal", "spoil_to",
)  # fmt: skip
MORE = (
    "surface", "last_rain", "speed_km_h", "pattern", "machine", "damage", "debris_kg",
    "before_tests", "after_tests", "sheet_number", "cost", "note",
)  # fmt: skip
NOT_ASKED = (
    "why_not", "covers_all", "covered", "is_restorative", "reason", "firm", "asked_by", "number",
    "method",
)  # fmt: skip


class WorkOrderDoneForm(CleaningForm):
    """Done, or done in part: what was missed and why. The order says the rest."""

    state = forms.ChoiceField(
        label="what became of it",
        choices=[("done", "done"), ("in_part", "done in part")],
        widget=forms.RadioSelect,
    )
    missed = PanelsField(
        label="rows or panels not done",
        queryset=None,
        required=False,
        widget=short_ticks(),
    )
    missed_why = forms.CharField(label="not done because", max_length=160, required=False)
    damage = forms.CharField(label="damage, stones pulled, marks", max_length=240, required=False)

    def __init__(
        self,
        *args: Any,
        order: WorkOrder,
        shows_price: bool,
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.order = order
        for name in (*NOT_ASKED, *(() if shows_price else ("cost",))):
            self.fields.pop(name, None)
        self.fields["rows_text"].label = "done, in words"
        self.fields["rows_text"].required = False

    @property
    def groups(self) -> list[tuple[str, list[forms.BoundField]]]:
        """Return the open fields under their legends."""
        return [
            ("What and when", [self[name] for name in FIRST]),
            ("Rows", [self[name] for name in ROWS if name in self.fields]),
            ("What came off, and where it went", [self[n] for n in (*OFF, "system")]),
        ]

    @property
    def folded(self) -> list[forms.BoundField]:
        """Return the fields that fold away."""
        return [self[name] for name in MORE if name in self.fields]

    def entry(self) -> Cleaning:
        """Return the unsaved cleaning; method, reason and who asked are the order's."""
        row, order = super().entry(), self.order
        row.method, row.is_restorative = order.method, order.is_restorative
        row.asked_by = f"{order.asked_by}, order {order.number}"[:120]
        row.firm = str(order.sweeper or "")
        known = dict(Cleaning._meta.get_field("reason").flatchoices)
        row.reason = order.reason if order.reason in known else ""
        return row
