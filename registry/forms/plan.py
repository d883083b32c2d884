"""The forms of a plan: datum and ties, and three ways to draw one without drawing tools."""

import itertools
import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.entry import Groups, PartForm
from registry.forms.open_fields import LinesField
from registry.forms.plan_lines import FeaturesField, PointsField, TiesField
from registry.forms.quantity import DayField, MarkedEmpty, QuantityField, unit_hint
from registry.models import Plan
from registry.units import Kind, System, unit_sign

FACTS = (
    "drawn_on",
    "drawn_by",
    "scale",
    "datum",
    "up",
    "ties",
    "second_mark",
    "check_length_m",
    "check_length_name",
)
DATUM_HELP = (
    "A corner that will outlive the surface: back of curb at a building corner, a drain frame. "
    "Not a light pole."
)


class PlanForm(PartForm):
    """Datum, ties, up, second mark, check length of a plan."""

    quantities = {"check_length_m": Kind.LENGTH}
    plain = frozenset({"note", "drawn_on"})
    groups: Groups = (
        ("The plan", ("drawn_on", "drawn_by", "scale")),
        ("The datum", FACTS[3:6]),
        ("To find it again", FACTS[6:]),
        ("Drains, wells, where water runs on", ("features",)),
    )
    ties = TiesField(label="ties", help_text="One a line, two at least: 31.4 to hydrant bolt.")

    features = FeaturesField(
        label="things on the plan",
        help_text="One a line: drain north: R 12 U 60, or run-on lawn: R 0 U 5 to R 6 U 5. "
        "No random spot is drawn on a drain or well.",
    )

    class Meta:
        model = Plan
        fields = (*FACTS, "features", "note")
        help_texts = {
            "datum": DATUM_HELP,
            "up": "What one walks toward from the datum: the canal.",
            "check_length_name": "A1 to A11, or datum to second mark.",
        }

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["drawn_on"].required = True
        for name, field in self.fields.items():
            if name not in self.quantities and isinstance(field, QuantityField | LinesField):
                field.system = self.chosen_system
                field.help_text = unit_hint(Kind.LENGTH, self.chosen_system, field.help_text)


class _Lengths(LinesField):
    """One length for all, or one for each: "12" or "12; 12; 8.5"; cleans to metres."""

    widget = forms.TextInput()  # type: ignore[assignment]

    def clean(self, value: Any) -> list[float]:
        """Read the lengths; each is above zero."""
        text = forms.CharField.clean(self, value)
        found = [self.length(part) for part in re.split(r"[;\n]", text) if part.strip()]
        if any(length <= 0 for length in found):
            raise ValidationError("Each of them is above zero.")
        return found


class _DrawingForm(PlanForm):
    """What every way of drawing asks beside the datum."""

    kind = ""
    old_names = forms.CharField(
        label="old name = new name",
        required=False,
        widget=forms.Textarea(attrs={"rows": 8}),
        help_text="One a line: C8 = D8. Old records keep the old name and show the new one beside.",
    )

    def __init__(self, *args: Any, has_old_panels: bool, **options: Any) -> None:
        super().__init__(*args, **options)
        if not has_old_panels:
            del self.fields["old_names"]

    @property
    def grouped(self) -> list[tuple[str, list[forms.BoundField]]]:
        """Return the measures first, the list of names last."""
        drawn = [n for n in self.declared if n in self.fields]
        parts = [("", [self["system"]]), ("The drawing", [self[n] for n in drawn])]
        parts += [(legend, [self[n] for n in names]) for legend, names in self.groups]
        parts.append(("Remark", [self["note"]]))
        if "old_names" in self.fields:
            parts.append(("Names on the plan before", [self["old_names"]]))
        return parts

    declared: tuple[str, ...] = ()

    def clean_old_names(self) -> dict[str, str]:
        """Read the list of names."""
        pairs: dict[str, str] = {}
        for line in filter(None, (x.strip() for x in self.cleaned_data["old_names"].splitlines())):
            old, sign, new = (part.strip() for part in line.partition("="))
            if not (old and sign and new):
                raise ValidationError(f"“{line}”: write the old name, =, and the new one.")
            if old in pairs:
                raise ValidationError(f"{old} stands twice in the list.")
            pairs[old] = new
        return pairs

    def _metres(self, name: str) -> float | None:
        value = self.cleaned_data.get(name)
        if value is None:
            return None
        if isinstance(value, MarkedEmpty) or value.si <= 0:
            self.add_error(name, "A plan needs this measure, above zero.")
            return None
        return float(value.si)

    def entry(self) -> Plan:
        """Return the unsaved plan."""
        row: Plan = super().entry()  # type: ignore[assignment]
        row.kind = self.kind
        return row


class PanelPlanForm(_DrawingForm):
    """Panels by lanes and numbers: widths of lanes, lengths going up."""

    kind = "panels"
    declared = ("lanes", "count", "widths", "lengths", "placed_on")
    lanes = forms.IntegerField(label="lanes, A on", min_value=1, max_value=100)
    count = forms.IntegerField(label="panels in a lane, 1 on", min_value=1, max_value=500)
    widths = _Lengths(
        required=True,
        label="width of a lane",
        help_text="One for all, or one for each lane from the datum to the right: 12; 12; 8.5.",
    )
    lengths = _Lengths(
        required=True,
        label="length of a panel going up",
        help_text="One for all, or one for each number: 12; 12; 7. Single closing pieces are put "
        "right on the panel's own page.",
    )
    placed_on = DayField(label="placed on, if on one day", required=False)

    def clean(self) -> dict[str, Any]:
        """One width or as many as lanes, one length or as many as numbers."""
        cleaned = super().clean()
        for name, number in (("widths", "lanes"), ("lengths", "count")):
            given, wanted = cleaned.get(name), cleaned.get(number)
            if given and wanted and len(given) not in (1, wanted):
                self.add_error(name, f"Write one for all, or {wanted}; these are {len(given)}.")
            elif given and wanted:
                cleaned[name] = given * wanted if len(given) == 1 else given
        if (cleaned.get("lanes") or 0) * (cleaned.get("count") or 0) > 5000:
            self.add_error("count", "A plan has at most 5000 panels.")
        return cleaned


class PathPlanForm(_DrawingForm):
    """A path by stations along its left edge."""

    kind = "stations"
    declared = ("length", "width", "offset_from", "left_edge")
    length = QuantityField(Kind.LENGTH, label="length along the left edge", required=True)
    width = QuantityField(Kind.LENGTH, label="width, where it is one", takes_empties=False)
    offset_from = forms.ChoiceField(
        label="offsets count from",
        choices=[("center", "the center"), ("left_edge", "the left edge, where the width varies")],
    )
    left_edge = PointsField(
        label="bends: points of the left edge",
        help_text="Only if it bends. One a line from the datum on: R 0 U 0, then R 12 U 60, "
        "or L 12 U 60 left of the datum.",
    )

    def clean(self) -> dict[str, Any]:
        """Take the left edge from its points; they have to agree with the length."""
        cleaned = super().clean()
        length = self._metres("length")
        cleaned["width_m"] = self._metres("width")
        if cleaned.get("offset_from") == "center" and cleaned["width_m"] is None:
            self.add_error("width", "Offsets from the center need the width of the path.")
        points = cleaned.get("left_edge") or []
        if points and points[0] != [0.0, 0.0]:
            points = [[0.0, 0.0], *points]
        if len(points) > 1 and length:
            along = sum(_apart(a, b) for a, b in itertools.pairwise(points))
            if abs(along - length) > 0.005 * length:
                unit = unit_sign(Kind.LENGTH, self.chosen_system)
                shown = along / (0.3048 if self.chosen_system == System.INCH_POUND else 1.0)
                self.add_error(
                    "left_edge",
                    f"These points are {shown:.1f} {unit} long along the edge, and the length "
                    "says otherwise by more than 0.5 in 100. Measure again.",
                )
        cleaned["baseline"] = points or ([[0.0, 0.0], [0.0, length]] if length else [])
        return cleaned

    def entry(self) -> Plan:
        """Return the unsaved plan with its left edge."""
        row = super().entry()
        row.baseline = self.cleaned_data["baseline"]
        row.width_m = self.cleaned_data["width_m"]
        row.offset_from = self.cleaned_data["offset_from"]
        return row


class SquarePlanForm(_DrawingForm):
    """Pavers by squares of 10 ft or 3 m from the datum."""

    kind = "squares"
    declared = ("across", "along")
    across = QuantityField(Kind.LENGTH, label="width, to the right of the datum", required=True)
    along = QuantityField(Kind.LENGTH, label="length, going up from the datum", required=True)

    def clean(self) -> dict[str, Any]:
        """Both sides are above zero."""
        cleaned = super().clean()
        cleaned["sides_m"] = (self._metres("across"), self._metres("along"))
        return cleaned

    def entry(self) -> Plan:
        """Return the unsaved plan with its outline and its squares."""
        row = super().entry()
        across, along = self.cleaned_data["sides_m"]
        row.outline = [[0.0, 0.0], [across, 0.0], [across, along], [0.0, along]]
        row.square_m = 3.048 if self.chosen_system == System.INCH_POUND else 3.0
        return row


DRAWING_FORMS: dict[str, type[_DrawingForm]] = {
    "panels": PanelPlanForm,
    "stations": PathPlanForm,
    "squares": SquarePlanForm,
}


def _apart(one: list[float], two: list[float]) -> float:
    return float(((one[0] - two[0]) ** 2 + (one[1] - two[1]) ** 2) ** 0.5)
