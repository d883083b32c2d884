"""The form of a split: names of the parts, panels of the first, and what is asked of defects."""

from collections.abc import Collection, Iterable
from typing import Any, Protocol

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.quantity import DayField, MarkedEmpty, QuantityField
from registry.models import Defect, Pavement
from registry.models.panel import plan_order
from registry.units import Kind, System, Written

GOES_WITH = {"0": "the first part", "1": "the second part", "2": "both, to be measured anew"}
"""Answers to "which part does it go on with?"; what they mean is said in `carry_on_defects`."""


class Known(Protocol):
    """An open defect: its row, the words for it, and the part it goes with by ids of panels."""

    row: Defect

    @property
    def words(self) -> str: ...

    def part(self, shares: tuple[Collection[int], Collection[int]]) -> int | None: ...


class SplitForm(forms.Form):
    """Two parts of one pavement. Without panels the area of the first part is asked.

    An open defect that lies on panels of both parts, or at no known place, is asked about by name;
    which these are follows from the panels that were chosen.
    """

    first = forms.CharField(label="Name of the first part", max_length=160)
    first_number = forms.CharField(
        label="Your own number of the first part", max_length=40, required=False
    )
    second = forms.CharField(label="Name of the second part", max_length=160)
    second_number = forms.CharField(
        label="Your own number of the second part", max_length=40, required=False
    )
    on = DayField(label="Day of the split")
    panels = forms.MultipleChoiceField(
        label="Panels of the first part",
        widget=forms.CheckboxSelectMultiple,
        help_text="The others go with the second. If a panel lies on both sides of the line, first "
        "say on the panel's own page that it was cut in two.",
    )
    area = QuantityField(Kind.AREA, label="Area of the first part", required=True)
    why = forms.CharField(label="Plat or deed: number, place, day", max_length=200)

    def __init__(
        self,
        *args: Any,
        pavement: Pavement,
        system: str,
        defects: Iterable[Known] = (),
        **options: Any,
    ) -> None:
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
        self.asked = self._asked(defects)
        for known in self.asked:
            self.fields[f"defect-{known.row.pk}"] = forms.ChoiceField(
                label=f"Goes on with which part? {known.words}",
                choices=list(GOES_WITH.items()),
                widget=forms.RadioSelect,
                error_messages={
                    "required": "It lies on both parts, or nobody wrote down where: say which."
                },
            )
        self.order_fields([name for name in self.fields if name != "why"])

    def _asked(self, defects: Iterable[Known]) -> list[Known]:
        """Return the defects to ask about; before panels are chosen, those at no known place."""
        written = self.data.getlist("panels") if hasattr(self.data, "getlist") else ()
        chosen = frozenset(int(key) for key in written if key in self.all_panels)
        shares = (chosen, frozenset(map(int, self.all_panels)) - chosen)
        return [known for known in defects if known.part(shares) is None]

    def decided(self) -> dict[int, int]:
        """Return, by id of a defect that was asked about, the answer as the action takes it."""
        rows = (known.row.pk for known in self.asked)
        return {pk: int(self.cleaned_data[f"defect-{pk}"]) for pk in rows}

    def clean_area(self) -> Written:
        """Ask for a number: a part whose area is not known would change the register's total."""
        area = self.cleaned_data["area"]
        if isinstance(area, MarkedEmpty):
            raise ValidationError("Give the area of the first part; the second has the rest.")
        return area

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        first, second = (cleaned.get(f"{part}_number") for part in ("first", "second"))
        if first and first == second:
            self.add_error("second_number", "The two parts have one number: give each its own.")
        return cleaned

    def shares(self) -> tuple[tuple[str, frozenset[int], float | None, str], ...]:
        """Return (name, ids of panels, area in m2 or None, own number) of both parts."""
        chosen = frozenset(map(int, self.cleaned_data.get("panels", ())))
        written = self.cleaned_data.get("area")
        area = written.si if written else None
        others = frozenset(map(int, self.all_panels)) - chosen
        return (
            (self.cleaned_data["first"], chosen, area, self.cleaned_data["first_number"]),
            (self.cleaned_data["second"], others, None, self.cleaned_data["second_number"]),
        )
