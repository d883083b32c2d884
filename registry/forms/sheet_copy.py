"""An inspection sheet that came back, typed in in the sheet's own order."""

from collections.abc import Mapping, Sequence
from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict

from registry.forms.quantity import MarkedEmpty, QuantityField
from registry.forms.visit import VisitDirtForm, VisitForm, named_source
from registry.forms.visit_answer import (
    EXTENTS,
    HEIGHTS,
    AnswerForm,
    MeasuredForm,
    extent_field,
)
from registry.forms.visit_panels import UnseenLinesField
from registry.forms.well_reading import WellReadingForm
from registry.models import (
    Defect,
    DirtSource,
    Observation,
    ObservationWell,
    Panel,
    Visit,
    WellReading,
)
from registry.units import Kind, System, Written

PLACE_LABELS = {
    "panels": ("panel", "R from-to", "U from-to"),
    "squares": ("g(right,up)", "R from-to", "U from-to"),
    "stations": ("station from", "to", "L, R from-to"),
}
"""Columns of the place of a new defect, by the kind of plan the sheet shows."""

NEW_ROWS = 5
INCH_MM = 25.4
MOST_ROWS = 60


class SheetHeadForm(VisitForm):
    """Everything of the sheet but its two tables and its wells."""

    unseen = UnseenLinesField(label="panels not seen, and why")
    rest_walked = forms.BooleanField(label="all other panels were walked", required=False)
    walked_all = forms.BooleanField(label="the whole pavement was walked", required=False)
    known = VisitDirtForm.base_fields["known"]
    new_kind = VisitDirtForm.base_fields["new_kind"]
    new_detail = VisitDirtForm.base_fields["new_detail"]
    why_not = forms.CharField(label="could not enter because", max_length=200, required=False)
    groups = (
        ("Visit", ("system", "done_on", "started_clock", "ended_clock", "walked_by",
                   "walked_with", "reasons", "other_reason", "weather", "air_c", "surface",
                   "low_sun", "rain_ended_day", "rain_ended_clock", "rain_mm", "rain_hours")),
        ("Panels", ("rest_walked", "unseen", "walked_all")),
        ("Water", ("water_stands", "water_place", "water_depth_m", "water_minutes", "ran_off",
                   "ran_off_place")),
        ("Dirt and drains", ("dirt_from", "known", "new_kind", "new_detail", "drains",
                             "drains_note", "made_safe")),
        ("Also on the sheet, in the margin", ("rain_known_by", "run_on_walked", "new_inflow",
                                              "winter_damage", "salt_left")),
        ("Foot", ("signed_by", "next_due_on", "why_not", "note")),
    )  # fmt: skip

    class Meta(VisitForm.Meta):
        fields = VisitForm.Meta.fields

    def __init__(self, *args: Any, panels: Sequence[Panel], **options: Any) -> None:
        super().__init__(*args, **options)
        known = self.fields["known"]
        known.queryset = self.parent.dirt_sources.open()
        self.fields["unseen"].panels = {panel.name.upper(): panel for panel in panels}
        self.fields["system"].label = "This sheet is in"
        self.panels = panels
        for name in ("rest_walked", "unseen") if not panels else ("walked_all",):
            del self.fields[name]
        known.choices = [(row.pk, str(row)) for row in known.queryset]
        if not known.choices:
            del self.fields["known"]

    def in_block(self, legend: str) -> list[forms.BoundField]:
        """Return the fields of one block of the sheet."""
        names = dict(self.groups)[legend]
        return [self[name] for name in names if name in self.fields]

    def clean(self) -> dict[str, Any]:
        """Ask for the kind of a new source, and for a later next day."""
        cleaned = super().clean()
        if cleaned.get("new_detail") and not cleaned.get("new_kind"):
            self.add_error("new_kind", "Say what kind of source it is.")
        due, day = cleaned.get("next_due_on"), cleaned.get("done_on")
        if due and day and due <= day:
            self.add_error("next_due_on", "The next visit comes after this one.")
        return cleaned

    def new_sources(self) -> list[DirtSource]:
        """Return the unsaved new source of dirt, if one was named."""
        return named_source(self.cleaned_data)

    def unseen_panels(self) -> dict[Panel, str]:
        """Return the panels not seen, with why."""
        return {p: why for found, why in self.cleaned_data.get("unseen") or () for p in found}

    def walked_panels(self) -> list[Panel]:
        """Return the other panels, where the sheet says that they were walked."""
        if not self.cleaned_data.get("rest_walked"):
            return []
        out = {panel.pk for panel in self.unseen_panels()}
        return [panel for panel in self.panels if panel.pk not in out]

    def visit(self) -> Visit:
        """Return the unsaved visit of a valid form."""
        row = cast(Visit, self.entry())
        row.walked_all = bool(self.cleaned_data.get("walked_all"))
        return row


class CopiedRowForm(AnswerForm):
    """A row of the KNOWN block; one that was not known on that day may stay blank."""

    def __init__(self, *args: Any, is_needed: bool = True, **options: Any) -> None:
        super().__init__(*args, **options)
        del self.fields["seen"]
        self.fields["found"].required = is_needed
        words = (("", "choose"), ("found", "y"), ("not_found", "n"), ("could_not_look", "cl"))
        self.fields["found"].choices = words
        self.fields["found"].error_messages["required"] = (
            f"No. {self.defect.number}: say y, n or cl; none may be left blank."
        )


class NewRowForm(MeasuredForm):
    """A row of the NEW block; blank where the sheet's is. `asks` is kind -> fields it asks for."""

    first = forms.CharField(max_length=40, required=False)
    second = forms.CharField(max_length=40, required=False)
    third = forms.CharField(max_length=40, required=False)
    kind = forms.ChoiceField(
        label="kind",
        choices=[("", "none"), *Defect._meta.get_field("kind").flatchoices],
        required=False,
    )
    extent = forms.CharField(label="extent, unit", max_length=40, required=False)
    height = QuantityField(Kind.SMALL_LENGTH, label="lip, width or depth")
    height_of = forms.ChoiceField(
        label="that is the",
        choices=[("", "only one there is"), ("lip", "lip"), ("width", "width"),
                 ("depth", "depth")],
        required=False,
    )  # fmt: skip
    direction = forms.ChoiceField(
        label="way of a plow scrape",
        choices=[("", "not told"), *Observation.Direction.choices],
        required=False,
    )
    route = forms.ChoiceField(
        label="on an accessible route",
        choices=[("", "not filled in"), *Defect._meta.get_field("on_accessible_route").flatchoices],
        required=False,
    )
    note = forms.CharField(label="photo no., remark", max_length=500, required=False)

    def __init__(
        self, *args: Any, plan: str, units: Mapping[str, str],
        asks: Mapping[str, Sequence[str]], **options: Any,
    ) -> None:  # fmt: skip
        super().__init__(*args, **options)
        self.plan, self.units, self.asks = plan, units, asks
        self.same_form: forms.Form | None = None
        self.fields["height"].system = self.system
        for name, label in zip(("first", "second", "third"), PLACE_LABELS[plan], strict=True):
            self.fields[name].label = label
        order = "first second third kind extent height height_of direction severity route note"
        self.order_fields(order.split())

    @property
    def is_blank(self) -> bool:
        """Say whether nothing was written in this row."""
        return not any(str(self.data.get(self.add_prefix(n), "")).strip() for n in self.fields)

    @property
    def place_text(self) -> str:
        """Return the place as one text, the way places are read."""
        first, second, third = (self.cleaned_data[n] for n in ("first", "second", "third"))
        if self.plan == "stations":
            return " ".join(filter(None, (first, f"to {second}" if second else "", third)))
        right = second and f"R {second}"
        return " ".join(filter(None, (first, right, third and f"U {third}")))

    def clean(self) -> dict[str, Any]:
        """Read the measures as the kind has them; what could be two things is asked."""
        cleaned = super().clean() or self.cleaned_data
        if self.is_blank:
            return cleaned
        for name, words in (("kind", "Which kind is it?"), ("first", "Where is it?")):
            if not cleaned.get(name):
                self.add_error(name, words)
        if kind := cleaned.get("kind"):
            self._take_extent(kind, cleaned.get("extent", ""))
            self._take_height(kind, cleaned.get("height"), cleaned.get("height_of", ""))
            self._take_direction(kind, cleaned.get("direction", ""))
        return cleaned

    def _take_extent(self, kind: str, text: str) -> None:
        try:
            value = extent_field(self.units[kind], self.system).clean(text)
        except ValidationError as fault:
            self.add_error("extent", fault)
        else:
            self.take(EXTENTS[self.units[kind]][0], value)

    def _take_height(self, kind: str, value: Any, named: str) -> None:
        if value is None:
            return
        columns = [column for column in HEIGHTS if column in self.asks[kind]]
        meant = [column for column in columns if not named or HEIGHTS[column] == named]
        if len(meant) != 1:
            known = ", ".join(dict.fromkeys(HEIGHTS[c] for c in columns)) or "none of them"
            self.add_error("height_of", f"Of this kind the sheet can tell: {known}. Which is it?")
        elif self._may_be_mm(meant[0], value):
            self.add_error(
                "height", f"“{value.text}” may be inches or, from a card, mm. Write its unit."
            )
        elif meant[0] in self.values and not isinstance(value, MarkedEmpty):
            self.add_error("height", "The extent of this kind is that height; write it once.")
        else:
            self.take(meant[0], value)

    def _take_direction(self, kind: str, direction: str) -> None:
        if direction and "direction" not in self.asks[kind]:
            self.add_error("direction", "Only a plow scrape has a way here; write it as a remark.")
        elif direction:
            self.values["direction"] = direction

    def _may_be_mm(self, column: str, value: Any) -> bool:
        """A crack of an inch and more, bare on a sheet in inches, was likely read off a card."""
        if column != "crack_width_m" or not isinstance(value, Written):
            return False
        has_unit = any(sign.isalpha() or sign in "\"″'" for sign in value.text)
        return not has_unit and value.system is System.INCH_POUND and value.si >= INCH_MM

    def defect(self) -> Defect:
        """Return the unsaved defect of a valid row; its place is set by who reads it."""
        given = self.cleaned_data
        row = Defect(kind=given["kind"], on_accessible_route=given["route"])
        row.as_written = {"place": self.place_text}
        return row


class WellRowForm(WellReadingForm):
    """The reading of one well on the sheet; blank where the sheet's is."""

    def __init__(self, *args: Any, well: ObservationWell, **options: Any) -> None:
        options["prefix"] = f"w{well.pk}"
        super().__init__(*args, pavement=well.pavement, **options)
        self.row_well = well
        del self.fields["well"], self.fields["read_on"]

    @property
    def is_blank(self) -> bool:
        """Say whether nothing was written of this well."""
        return not any(str(self.data.get(self.add_prefix(n), "")).strip() for n in self.fields)

    def clean(self) -> dict[str, Any]:
        """Leave a blank row alone."""
        return self.cleaned_data if self.is_blank else super().clean()

    def reading(self, visit: Visit) -> WellReading:
        """Return the unsaved reading, on the day of the visit."""
        self.cleaned_data |= {"well": self.row_well, "read_on": visit.done_on}
        row = self.entry()
        row.read_at = self.clock_on(visit.done_on)
        return row


def typed_of(data: QueryDict, labels: Mapping[str, str]) -> dict[str, str]:
    """Return what was typed by its place on the sheet, blanks left out."""
    found: dict[str, str] = {}
    for name in data:
        words = ", ".join(text for text in data.getlist(name) if text.strip())
        if words and name in labels:
            found[labels[name]] = words
    return found


def system_typed(data: QueryDict | None, usual: str) -> System:
    """Return the units ticked on the sheet, as typed, or those it was printed in."""
    ticked = data.get("system", "") if data else ""
    return System(ticked) if ticked in list(System) else System(usual)
