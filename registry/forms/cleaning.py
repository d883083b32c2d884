"""The cleaning as a person writes it."""

from contextlib import suppress
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from registry.forms.quantity import (
    ClockField,
    DayField,
    MarkedEmpty,
    QuantityField,
    join_clock,
    unit_hint,
)
from registry.forms.row_choice import ManyRowsField, PanelsField, short_ticks, test_words
from registry.forms.seen import SeenForm
from registry.models import Cleaning, CleaningMethod, CleaningState, Panel, Pavement
from registry.models.choices import ReadingSystem
from registry.models.cleaning import RESTORATIVE
from registry.models.infiltration_test import InfiltrationTestQuerySet
from registry.models.seen import Changes
from registry.units import Kind, System, from_si

BLANK = ("", "not filled in")
MEASURED = {
    "area_m2": Kind.AREA,
    "debris_m3": Kind.VOLUME,
    "debris_kg": Kind.MASS,
    "water_used_l": Kind.LIQUID,
    "speed_km_h": Kind.SPEED,
}
CLOCKS = {"started_at": "started_clock", "ended_at": "ended_clock"}
TESTS = ("before_tests", "after_tests")
NEAR_DAYS = 60
MOST = 200
"""Tests offered as before and after at first: the newest so near the cleaning, and so many."""

PLAIN = (
    "state",
    "why_not",
    "done_on",
    "method",
    "is_restorative",
    "reason",
    "surface",
    "last_rain",
    "passes",
    "pattern",
    "covers_all",
    "rows_text",
    "missed_why",
    "debris_bags",
    "debris_wet",
    "debris_is_guessed",
    "debris_look",
    "water_disposal",
    "spoil_to",
    "firm",
    "operator",
    "machine",
    "swept_with",
    "asked_by",
    "damage",
    "cost",
    "number",
    "sheet_number",
    "note",
)


def _words(name: str) -> list[tuple[str, str]]:
    """Return the choices of a column, with the blank first."""
    field = Cleaning._meta.get_field(name)
    return [BLANK, *((value, label) for value, label in field.flatchoices if value)]


class CleaningForm(SeenForm):
    """One cleaning, or that it was turned away or called off."""

    system = forms.ChoiceField(label="units on this form", choices=ReadingSystem.choices)
    state = forms.ChoiceField(label="what happened", choices=CleaningState.choices)
    why_not = forms.CharField(
        label="turned away or called off because", max_length=200, required=False
    )
    done_on = DayField(label="date")
    started_clock = ClockField(label="start, clock at the site")
    ended_clock = ClockField(label="end, clock at the site")
    method = forms.ChoiceField(label="method", choices=[BLANK, *CleaningMethod.choices])
    is_restorative = forms.BooleanField(
        label="meant to bring the rate back",
        required=False,
        help_text="A trend line is never drawn across such a cleaning.",
    )
    reason = forms.ChoiceField(label="reason", choices=_words("reason"), required=False)
    surface = forms.ChoiceField(label="surface", choices=_words("surface"), required=False)
    last_rain = forms.CharField(label="last rain", max_length=80, required=False)
    passes = forms.IntegerField(label="passes", min_value=0, max_value=20, required=False)
    pattern = forms.CharField(label="pattern", max_length=80, required=False)
    speed_km_h = QuantityField(Kind.SPEED, label="speed")
    covers_all = forms.BooleanField(label="the whole pavement", required=False, initial=True)
    covered = PanelsField(
        label="panels covered, if not all", queryset=None, required=False, widget=short_ticks()
    )
    missed = PanelsField(label="panels missed", queryset=None, required=False, widget=short_ticks())
    missed_why = forms.CharField(label="missed because", max_length=240, required=False)
    rows_text = forms.CharField(label="rows or panels, in words", max_length=240, required=False)
    area_m2 = QuantityField(Kind.AREA, label="area done")
    debris_m3 = QuantityField(Kind.VOLUME, label="debris, volume")
    debris_is_guessed = forms.BooleanField(label="the volume is a guess", required=False)
    debris_bags = forms.IntegerField(label="debris, bags", min_value=0, required=False)
    debris_kg = QuantityField(Kind.MASS, label="debris, weighed")
    debris_wet = forms.ChoiceField(label="debris was", choices=_words("debris_wet"), required=False)
    debris_look = forms.ChoiceField(
        label="debris looked like", choices=_words("debris_look"), required=False
    )
    water_used_l = QuantityField(Kind.LIQUID, label="water used")
    water_disposal = forms.ChoiceField(
        label="water went to",
        choices=_words("water_disposal"),
        required=False,
        help_text="Never to a storm drain. Local rules for wash water come first.",
    )
    spoil_to = forms.CharField(label="spoil to, slip", max_length=120, required=False)
    before_tests = ManyRowsField(label="tests before", queryset=None, required=False)
    after_tests = ManyRowsField(label="tests after", queryset=None, required=False)
    firm = forms.CharField(label="firm", max_length=160, required=False)
    operator = forms.CharField(label="operator", max_length=120, required=False)
    machine = forms.CharField(
        label="machine: type, head width, brush, pressure, nozzle", max_length=240, required=False
    )
    swept_with = forms.ModelChoiceField(
        label="machine on the record", queryset=None, required=False, empty_label="none of these"
    )
    asked_by = forms.CharField(label="asked by, order no.", max_length=120, required=False)
    damage = forms.CharField(label="damage", max_length=240, required=False)
    cost = forms.DecimalField(
        label="cost", min_value=0, max_digits=12, decimal_places=2, required=False
    )
    number = forms.CharField(label="event no.", max_length=40, required=False)
    sheet_number = forms.CharField(label="sheet number", max_length=20, required=False)
    note = forms.CharField(label="remark", widget=forms.Textarea(attrs={"rows": 2}), required=False)

    def __init__(
        self,
        *args: Any,
        pavement: Pavement,
        panels: Any,
        tests: InfiltrationTestQuerySet,
        machines: QuerySet,
        today: date,
        system: str,
        offer_all: bool = False,
        stored: Cleaning | None = None,
        **options: Any,
    ) -> None:
        self.pavement, self.stored = pavement, stored
        chosen = args[0].get("system", "") if args and args[0] else ""
        self.chosen_system = System(chosen) if chosen in list(System) else System(system)
        if stored is not None:
            options["initial"] = self._initial(stored)
        super().__init__(*args, **options)
        if stored is not None:
            self.show_stored(stored, *CLOCKS)
        self.fields["system"].initial = self.chosen_system.value
        self.fields["swept_with"].queryset = machines
        for name in ("covered", "missed"):
            self.fields[name].offer(panels)
        self._offer(tests if offer_all else self._near(tests, today), tests)
        for field in self.fields.values():
            if isinstance(field, QuantityField):
                field.system = self.chosen_system
                field.help_text = unit_hint(field.kind, self.chosen_system, field.help_text)
        if not panels:
            del self.fields["covered"], self.fields["missed"]

    def _near(self, tests: InfiltrationTestQuerySet, today: date) -> InfiltrationTestQuerySet:
        """Return the tests near the day of the cleaning, as far as that is written yet."""
        day = self.stored.done_on if self.stored else today
        with suppress(ValidationError):  # the field says what is wrong with its day
            day = self.fields["done_on"].clean(self.data.get("done_on")) or day
        return tests.near_in_time(day, NEAR_DAYS).order_by("-started_on", "spot__name", "pk")[:MOST]

    def _offer(self, offered: InfiltrationTestQuerySet, tests: InfiltrationTestQuerySet) -> None:
        """List some tests; any other of the pavement is still taken, so none chosen is lost."""
        rows = list(offered)
        self.tests_left_out = tests.count() - len(rows)
        for name in TESTS:
            self.fields[name].queryset = tests
            self.fields[name].widget.choices = [
                (row.pk, test_words(row, self.chosen_system)) for row in rows
            ]

    def _keep_offering(self, name: str, chosen: Any) -> None:
        listed = self.fields[name].widget.choices
        there = {pk for pk, _ in listed}
        listed += [
            (row.pk, test_words(row, self.chosen_system)) for row in chosen if row.pk not in there
        ]

    def _initial(self, row: Cleaning) -> dict[str, Any]:
        shown: dict[str, Any] = {name: getattr(row, name) for name in PLAIN}
        for name, kind in MEASURED.items():
            value = getattr(row, name)
            if value is not None:
                shown[name] = f"{from_si(value, kind, self.chosen_system):.10g}"
            elif name in row.empties:
                shown[name] = row.empties[name]
        return shown

    def clean(self) -> dict[str, Any]:
        """Turn quantities into SI and check what belongs together."""
        cleaned = super().clean() or self.cleaned_data
        for name in TESTS:
            self._keep_offering(name, cleaned.get(name) or ())
        self.texts: dict[str, str] = {}
        self.empties: dict[str, str] = {}
        self.row_values: dict[str, Any] = {n: cleaned[n] for n in PLAIN if n in cleaned}
        self._take_measured(cleaned)
        self._take_clocks(cleaned)
        self._check_sense(cleaned)
        if cleaned.get("method") in RESTORATIVE:
            self.row_values["is_restorative"] = True
        return cleaned

    def _take_measured(self, cleaned: dict[str, Any]) -> None:
        for name in MEASURED:
            value = cleaned.get(name)
            self.row_values[name] = None
            if isinstance(value, MarkedEmpty):
                self.empties[name] = value.code
            elif value is not None:
                self.texts[name] = value.text
                self.row_values[name] = value.si

    def _take_clocks(self, cleaned: dict[str, Any]) -> None:
        day = cleaned.get("done_on")
        for target, name in CLOCKS.items():
            clock = cleaned.get(name)
            if not (day and clock):
                continue
            try:
                self.row_values[target] = join_clock(day, clock, self.pavement.site.time_zone)
                self.texts[target] = f"{day.isoformat()} {clock}"
            except ValidationError as fault:
                self.add_error(name, fault)
        start, end = self.row_values.get("started_at"), self.row_values.get("ended_at")
        if start and end and end <= start:
            self.add_error("ended_clock", "The end must come after the start.")

    def _check_sense(self, cleaned: dict[str, Any]) -> None:
        state = cleaned.get("state")
        if state in (CleaningState.TURNED_AWAY, CleaningState.CALLED_OFF):
            if not cleaned.get("why_not"):
                self.add_error("why_not", "Say why it was turned away or called off.")
        elif cleaned.get("done_on") and state == CleaningState.IN_PART:
            named = cleaned.get("covered") or cleaned.get("rows_text") or cleaned.get("missed")
            if not named:
                self.add_error("rows_text", "Done in part: say which rows or panels were done.")
        both = set(cleaned.get("covered") or ()) & set(cleaned.get("missed") or ())
        if both:
            names = ", ".join(sorted(p.name for p in both))
            self.add_error("missed", f"Both covered and missed: {names}.")
        if cleaned.get("missed") and not cleaned.get("missed_why"):
            self.add_error("missed_why", "Say why these panels were missed.")

    @property
    def more(self) -> list[forms.BoundField]:
        """Return the fields that a page may fold away."""
        names = (
            "ended_clock reason last_rain pattern speed_km_h debris_kg debris_wet before_tests "
            "after_tests firm operator machine swept_with asked_by damage cost number sheet_number "
            "note"
        )
        return [self[name] for name in names.split()]

    def entry(self) -> Cleaning:
        """Return the unsaved row of a valid form."""
        values = {k: v for k, v in self.row_values.items() if v is not None}
        row = Cleaning(pavement=self.pavement, **values)
        if self.cleaned_data.get("covered") or self.cleaned_data.get("missed"):
            row.covers_all = False
        row.as_written, row.empties = self.texts, self.empties
        return row

    def missed_panels(self) -> dict[Panel, str]:
        """Return the panels missed, with the reason."""
        why = self.cleaned_data.get("missed_why", "")
        return dict.fromkeys(self.cleaned_data.get("missed") or (), why)

    def changes(self) -> Changes:
        """Return the corrections of a valid form against the stored row."""
        if self.stored is None:
            raise ValueError("This form is for a new entry.")
        return self.changes_from(self.row_values, self.texts)
