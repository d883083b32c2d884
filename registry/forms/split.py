"""The form of a split: names of the two parts and which panels go with the first."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.quantity import DayField, MarkedEmpty, QuantityField
from registry.models import Pavement
from registry.models.panel import plan_order
from registry.units import Kind, System, Written


class SplitForm(forms.Form):
    """Two parts of one pavement. Without panels the area of the first part is asked."""

    first = forms.CharField(label="Name of the first part", max_length=160)
    second = forms.CharField(label="Name of the second part", max_length=160)
    on = DayField(label="Day of the split")
    panels = forms.MultipleChoiceField(
        label="Panels of the first part",
        widget=forms.CheckboxSelectMultiple,
        help_text="The others go with the second. A panel on the line is cut in two first.",
    )
    area = QuantityField(Kind.AREA, label="Area of the first part", required=True)
    why = forms.CharField(label="Plat or deed: number, place, day", max_length=200)

    def __init__(self, *args: Any, pavement: Pavement, system: str, **options: Any) -> None:
        super().__init__(*args, **options)
        there = pavement.panels.standing().filter(exists_to_on__isnull=True)
        rows = sorted(there, key=lambda panel: plan_order(panel.name))
        self.all_panels = {str(panel.pk): panel.name for panel in rows}
        self.fields["panels"].choices = list(self.all_panels.items())
        self.fields["area"].system = System(system)
        self.fields["area"].help_text = f"in {self.fields['area'].unit}, or write the unit"
        if not self.all_panels:
            del self.fields["panels"]
        if self.all_panels or pavement.area_m2 is None:
            del self.fields["area"]

    def clean_area(self) -> Written:
        """Ask for a number: a part whose area is not known would change the register's total."""
        area = self.cleaned_data["area"]
        if isinstance(area, MarkedEmpty):
            raise ValidationError("Give the area of the first part; the second has the rest.")
        return area

    def shares(self) -> tuple[tuple[str, frozenset[int], float | None], ...]:
        """Return (name, ids of panels, area in m2 or None) of the first and the second part."""
        chosen = frozenset(map(int, self.cleaned_data.get("panels", ())))
        written = self.cleaned_data.get("area")
        area = written.si if written else None
        others = frozenset(map(int, self.all_panels)) - chosen
        return (
            (self.cleaned_data["first"], chosen, area),
            (self.cleaned_data["second"], others, None),
        )
