"""The forms of a panel: its measures, and its end by cutting, replacing or taking out."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from registry.forms.entry import PartForm
from registry.forms.plan_lines import PointsField
from registry.forms.quantity import DayField, MarkedEmpty, QuantityField, unit_hint
from registry.forms.reason import ReasonForm
from registry.models import Defect, Panel
from registry.models.choices import ReadingSystem
from registry.units import Kind, System


class PanelForm(PartForm):
    """A panel by its home corner, width and length."""

    quantities = {
        "right_m": Kind.LENGTH,
        "up_m": Kind.LENGTH,
        "width_m": Kind.LENGTH,
        "length_m": Kind.LENGTH,
    }
    plain = frozenset({"note", "kind"})
    corners = PointsField(
        label="corners, if it is no rectangle",
        help_text="In order round it, one a line, from the datum: R 12 U 24.",
    )

    class Meta:
        model = Panel
        fields = (
            "name",
            "kind",
            "right_m",
            "up_m",
            "width_m",
            "length_m",
            "corners",
            "section",
            "placed_on",
            "exists_from_on",
            "note",
        )
        help_texts = {"name": "A letter for the lane, a number going up: C8. No I and O."}

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["section"].empty_label = "no section"


class ReplacePanelForm(ReasonForm):
    """That the concrete of a panel was taken out and new concrete placed."""

    placed_on = DayField(label="new concrete placed on")
    field_order = ("placed_on", "why")


class EndPanelForm(ReasonForm):
    """That a panel was taken out for good."""

    on = DayField(label="first day without it")
    field_order = ("on", "why")


class CutPanelForm(ReasonForm):
    """That a panel was saw-cut in two."""

    system = forms.ChoiceField(label="units where none is written", choices=ReadingSystem.choices)
    across = forms.ChoiceField(
        label="the saw line runs",
        choices=[("right", "up, at so far right"), ("up", "to the right, at so far up")],
    )
    at = QuantityField(Kind.LENGTH, label="so far from the home corner", required=True)
    on = DayField(label="cut on")
    defects = forms.ModelMultipleChoiceField(
        label="open defects that the saw line parts in two",
        queryset=None,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="Each goes on as two, to be measured anew. The others stay one, where they are.",
    )
    field_order = ("system", "across", "at", "on", "defects", "why")

    def __init__(self, *args: Any, system: str, defects: QuerySet[Defect], **options: Any) -> None:
        super().__init__(*args, **options)
        field = self.fields["defects"]
        field.queryset = defects
        field.choices = [
            (row.pk, f"{row}, {row.get_kind_display()}, {row.place}") for row in defects
        ]
        if not field.choices:
            del self.fields["defects"]
        chosen = self.data.get("system", "") if self.is_bound else ""
        self.chosen_system = System(chosen) if chosen in list(System) else System(system)
        self.fields["system"].initial = self.chosen_system.value
        self.fields["at"].system = self.chosen_system
        self.fields["at"].help_text = unit_hint(Kind.LENGTH, self.chosen_system)

    def clean_at(self) -> float:
        """Return metres."""
        value: Any = self.cleaned_data["at"]
        if isinstance(value, MarkedEmpty):
            raise ValidationError("Measure where the saw line lies.")
        return float(value.si)
