"""Which rows of a pavement an order is for, and which spots are tested before and after."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.db.models import QuerySet

from registry.faults import DomainError
from registry.forms.row_choice import ManyRowsField, PanelsField, short_ticks
from registry.models import Panel, WorkOrder
from registry.models.seen import read_seen, write_seen

PARTS = ("panels", "twice", "before_spots", "after_spots")
ReadRows = Callable[[str], list[Panel]]


class RowsFields(forms.Form):
    """Panels once and twice, spots before and after: declared once for two forms.

    `read_rows` reads rows as typed into panels; it raises DomainError in words.
    """

    panels = PanelsField(
        label="panels to sweep", queryset=None, required=False, widget=short_ticks()
    )
    twice = PanelsField(label="of them twice", queryset=None, required=False, widget=short_ticks())
    before_spots = ManyRowsField(
        label="spots to test before", queryset=None, required=False, widget=short_ticks()
    )
    after_spots = ManyRowsField(
        label="spots to test after, dry and at the same places",
        queryset=None,
        required=False,
        widget=short_ticks(),
    )

    def offer_rows(self, there: QuerySet, spots: QuerySet, read_rows: ReadRows) -> None:
        """Offer panels and spots; without panels on the plan rows are written in words."""
        self.read_rows, self.has_panels = read_rows, bool(there)
        for name in PARTS:
            self.fields[name].offer(there if name in ("panels", "twice") else spots)
        if not self.has_panels:
            del self.fields["panels"], self.fields["twice"]

    def check_rows(self, cleaned: dict[str, Any]) -> None:
        """Read rows as typed into panels; say where the whole pavement and rows contradict."""
        typed = str(cleaned.get("rows_text") or "").strip()
        self.typed: list[Panel] = []
        if typed and self.has_panels and not cleaned.get("covers_all"):
            try:
                self.typed = self.read_rows(typed)
            except DomainError as fault:
                self.add_error("rows_text", fault.message)
        named = typed or cleaned.get("panels") or cleaned.get("twice")
        if not cleaned.get("covers_all") and not named and "rows_text" not in self.errors:
            self.add_error("rows_text", "Say which rows: tap the panels, or write them here.")
        if cleaned.get("covers_all") and (typed or cleaned.get("panels")):
            self.add_error("covers_all", "The whole pavement, or these rows? Choose one.")

    def extras(self) -> dict[str, Any]:
        """Return panels and spots for the action."""
        given = {name: list(self.cleaned_data.get(name) or ()) for name in PARTS}
        given["panels"] = list(dict.fromkeys([*given["panels"], *self.typed]))
        return given


class WorkOrderRowsForm(RowsFields):
    """The rows and spots of a stored order, to be put right.

    `stands` is what the order says now, plain; it travels with the form as `seen`.
    """

    covers_all = forms.BooleanField(label="the whole pavement", required=False)
    rows_text = forms.CharField(
        label="rows or panels, as written",
        max_length=240,
        required=False,
        help_text="A-C, D3-D8; or in words where no panels are drawn",
    )
    why = forms.CharField(label="because", max_length=280, widget=forms.Textarea(attrs={"rows": 2}))
    seen = forms.CharField(widget=forms.HiddenInput, required=False)
    field_order = ("covers_all", "panels", "twice", "rows_text", "before_spots", "after_spots")

    def __init__(
        self,
        *args: Any,
        order: WorkOrder,
        stands: dict[str, str],
        there: QuerySet,
        spots: QuerySet,
        read_rows: ReadRows,
        **options: Any,
    ) -> None:
        rows = list(order.panels.all())
        shown = {
            "covers_all": order.covers_all,
            "rows_text": "" if rows else order.rows_text,
            "panels": [] if order.covers_all else [row.panel_id for row in rows],
            "twice": [row.panel_id for row in rows if row.is_twice],
            "before_spots": list(order.before_spots.all()),
            "after_spots": list(order.after_spots.all()),
            "seen": write_seen(stands),
        }
        super().__init__(*args, **{"initial": shown, **options})
        self.stands = stands
        self.offer_rows(there, spots, read_rows)

    def clean(self) -> dict[str, Any]:
        """Refuse what was typed against rows that somebody changed meanwhile; keep it typed."""
        cleaned = super().clean() or self.cleaned_data
        self.check_rows(cleaned)
        if read_seen(str(cleaned.get("seen") or "")) != self.stands:
            now = "; ".join(f"{name}: {words or 'none'}" for name, words in self.stands.items())
            self.add_error(
                None,
                f"Somebody else changed the rows after you opened this page. Now the order says: "
                f"{now}. What you chose is still below; store it again if it is still right.",
            )
            data: Any = self.data.copy()
            data["seen"] = write_seen(self.stands)
            self.data = data
        return cleaned
