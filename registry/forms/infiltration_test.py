"""The infiltration test as a person writes it, on a phone or from a sheet."""

from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.core.exceptions import ValidationError

from registry.faults import Ambiguous, DomainError
from registry.forms.quantity import (
    ClockField,
    DayField,
    ElapsedField,
    MarkedEmpty,
    QuantityField,
    WrittenTime,
    join_clock,
    unit_hint,
)
from registry.forms.row_choice import SpotField
from registry.forms.seen import SeenForm
from registry.models import (
    Ended,
    InfiltrationTest,
    Pavement,
    ReasonForTest,
    Ring,
    TestMethod,
)
from registry.models.choices import Answer, ReadingSystem, StratumKind
from registry.models.reading_limits import beyond_limits
from registry.models.seen import Changes
from registry.units import Kind, System, Written, from_si, read_elapsed

BLANK = ("", "not filled in")
READ = ("ring", "prewet_water", "water", "water_left")
"""Fields kept in the units they were read in; all of one system."""
TIMES = ("prewet_seconds", "wait_seconds", "seconds")
SI_FIELDS = {"air_c": Kind.TEMPERATURE, "water_c": Kind.TEMPERATURE, "rain_mm": Kind.SMALL_LENGTH}

AS_TIMED = "Seconds to a tenth, or minutes and seconds: 222.0 or 3:42."


def _ask(label: str, choices: Any, **options: Any) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=[BLANK, *choices], required=False, **options)


class InfiltrationTestForm(SeenForm):
    """One run. `entry()` gives the unsaved row; `changes()` the corrections of a stored one."""

    system = forms.ChoiceField(label="read in", choices=ReadingSystem.choices)
    spot = SpotField(label="spot", queryset=None, empty_label="choose the spot")
    started_on = DayField(label="date")
    clock = ClockField(label="start, clock at the site")
    fold = _ask(
        "if the clock was set back that night",
        [("first", "the first time"), ("second", "the second time")],
    )
    method = forms.ChoiceField(label="method", choices=TestMethod.choices)
    reason = _ask("reason", ReasonForTest.choices)
    run = forms.IntegerField(
        label="run",
        min_value=1,
        max_value=9,
        initial=1,
        help_text="1 for the first pour at this spot on this day, 2 for the second.",
    )
    ring_listed = forms.ModelChoiceField(
        label="ring from the list", queryset=None, required=False, empty_label="not from the list"
    )
    ring = QuantityField(Kind.RING, label="inside diameter, measured")
    ring_is_assumed = forms.BooleanField(
        label="the diameter is assumed, not measured", required=False
    )
    prewet_water = QuantityField(Kind.MASS, label="prewet water")
    prewet_seconds = ElapsedField(label="prewet time", help_text=AS_TIMED)
    wait_seconds = ElapsedField(label="prewet end to start")
    water = QuantityField(Kind.MASS, label="water poured")
    water_known_by = _ask("water known by", [("scale", "scale"), ("bucket", "marked bucket")])
    seconds = ElapsedField(label="time until no water stands", help_text=AS_TIMED)
    ended = _ask("ended", Ended.choices)
    water_left = QuantityField(Kind.MASS, label="water left, if weighed")
    limit_min = forms.FloatField(label="limit, min", min_value=1, required=False, initial=30)
    spoiled_why = forms.CharField(label="spoiled because", max_length=200, required=False)
    not_done_why = forms.CharField(
        label="not tested because",
        max_length=200,
        required=False,
        help_text="Only where nothing could be tested: the readings then stay empty.",
    )
    rain_within_24_h = _ask("rain in the last 24 h", Answer.choices)
    rain_ended_on = DayField(label="last rain ended, date", required=False)
    rain_ended_clock = ClockField(label="last rain ended, clock")
    rain_mm = QuantityField(Kind.SMALL_LENGTH, label="last rain, depth")
    standing_water = _ask("water standing", Answer.choices)
    surface = _ask("surface", [("dry", "dry"), ("damp", "damp")])
    broomed = _ask("broomed", Answer.choices)
    frost = _ask("frost in the pores", Answer.choices)
    crack_in_ring = _ask("crack, joint or hole in the ring", Answer.choices)
    seal_leaking = _ask("seal leaking", Answer.choices)
    slope_percent = forms.FloatField(label="slope, %", min_value=0, max_value=40, required=False)
    air_c = QuantityField(Kind.TEMPERATURE, label="air")
    water_c = QuantityField(Kind.TEMPERATURE, label="water")
    stratum = _ask("stratum, if not the spot's own", StratumKind.choices)
    place_used = forms.CharField(label="place really used", max_length=80, required=False)
    number = forms.CharField(label="test no.", max_length=40, required=False)
    sheet_number = forms.CharField(label="sheet number", max_length=20, required=False)
    tester_name = forms.CharField(label="tester", max_length=120, required=False)
    tested_by = forms.CharField(label="organisation of the tester", max_length=160, required=False)
    paid_by = forms.CharField(label="paid by", max_length=160, required=False)
    note = forms.CharField(label="remark", widget=forms.Textarea(attrs={"rows": 2}), required=False)

    def __init__(
        self,
        *args: Any,
        pavement: Pavement,
        spots: Any,
        rings: Any,
        system: str,
        stored: InfiltrationTest | None = None,
        **options: Any,
    ) -> None:
        self.pavement = pavement
        self.stored = stored
        self.is_acceptance_only = False
        if stored is not None:
            options["initial"] = _initial(stored, pavement.site.time_zone)
        super().__init__(*args, **options)
        if stored is not None:
            self.show_stored(stored, "started_at", "rain_ended_at", "state")
        self.fields["spot"].queryset = spots
        self.fields["ring_listed"].queryset = rings
        self.fields["method"].initial = pavement.test_method
        chosen = self.data.get(self.add_prefix("system"), "") if self.is_bound else ""
        first = stored.system if stored else system
        self.chosen_system = System(chosen) if chosen in list(System) else System(first)
        self.fields["system"].initial = self.chosen_system.value
        for field in self.fields.values():
            if isinstance(field, QuantityField):
                field.system = self.chosen_system
                field.help_text = unit_hint(field.kind, self.chosen_system)

    @property
    def has_spots(self) -> bool:
        """Say whether there is any spot to choose; a test is read at one."""
        return bool(self.fields["spot"].queryset.exists())

    def ask_acceptance_only(self) -> None:
        """Leave acceptance as the one reason, for a seat that records nothing else."""
        self.is_acceptance_only = True
        self.fields["reason"] = forms.ChoiceField(
            label="reason", choices=[("acceptance", "acceptance")]
        )

    def clean(self) -> dict[str, Any]:
        """Check what belongs together and turn it into the row's values."""
        cleaned = super().clean() or self.cleaned_data
        self.texts: dict[str, str] = {}
        self.empties: dict[str, str] = {}
        self.row_values: dict[str, Any] = {}
        self._take_readings(cleaned)
        self._take_times(cleaned)
        self._take_instants(cleaned)
        self._take_ring_from_list(cleaned)
        self._check_ending(cleaned)
        plain = (
            set(self.fields)
            - set(READ)
            - set(TIMES)
            - set(SI_FIELDS)
            - {"clock", "fold", "rain_ended_on", "rain_ended_clock", "system", "seen"}
        )
        self.row_values |= {
            n: cleaned[n] for n in plain if n in cleaned and n not in self.row_values
        }
        self.row_values["system"] = self.chosen_system.value
        return cleaned

    def _note(self, name: str, value: Written | WrittenTime | MarkedEmpty | None) -> bool:
        """Keep the text or the kind of empty of a field; say whether it holds a number."""
        if isinstance(value, MarkedEmpty):
            self.empties[name] = value.code
        elif value is not None:
            self.texts[name] = value.text
            return True
        return False

    def _take_readings(self, cleaned: dict[str, Any]) -> None:
        for name in READ:
            value = cleaned.get(name)
            number = None
            if self._note(name, value):
                if value.system is not self.chosen_system:
                    self.add_error(
                        name,
                        "This unit belongs to the other system. A test is kept in "
                        "the system it was read in: write all of it in one.",
                    )
                    continue
                number = value.standard
                if number <= 0:
                    self.add_error(name, "This must be more than zero.")
                elif beyond := beyond_limits(name, number, self.chosen_system):
                    self.add_error(name, beyond)
            self.row_values[name] = number
        for name in SI_FIELDS:
            value = cleaned.get(name)
            self.row_values[name] = value.si if self._note(name, value) else None

    def _take_times(self, cleaned: dict[str, Any]) -> None:
        for name in TIMES:
            value = cleaned.get(name)
            self.row_values[name] = value.seconds if self._note(name, value) else None
            seconds = self.row_values[name]
            if seconds is not None and seconds <= 0:
                self.add_error(name, "A time must be more than zero.")
            elif seconds is not None and (
                beyond := beyond_limits(name, seconds, self.chosen_system)
            ):
                self.add_error(name, beyond)

    def _take_instants(self, cleaned: dict[str, Any]) -> None:
        zone = self.pavement.site.time_zone
        pairs = (
            ("started_at", "started_on", "clock"),
            ("rain_ended_at", "rain_ended_on", "rain_ended_clock"),
        )
        for target, day_name, clock_name in pairs:
            self.row_values[target] = None
            day, clock = cleaned.get(day_name), cleaned.get(clock_name)
            if not (day and clock):
                continue
            self.texts[target] = f"{day.isoformat()} {clock}"
            try:
                self.row_values[target] = join_clock(day, clock, zone, cleaned.get("fold") or "")
            except ValidationError as fault:
                self.add_error(clock_name, fault)

    def _take_ring_from_list(self, cleaned: dict[str, Any]) -> None:
        ring: Ring | None = cleaned.get("ring_listed")
        if ring is None or self.row_values.get("ring") is not None:
            return
        if ring.system != self.chosen_system.value:
            self.add_error(
                "ring_listed",
                "This ring is listed in the other system of units. "
                "Write its inside diameter as measured.",
            )
            return
        self.row_values["ring"] = ring.inside_diameter
        self.texts["ring"] = f"{ring.name} in the list of rings"

    @property
    def unclear_time(self) -> Ambiguous | None:
        """Return the readings of a time of the run that can be read in more ways than one."""
        try:
            read_elapsed(str(self.data.get(self.add_prefix("seconds"), "")))
        except Ambiguous as times:
            return times
        except DomainError:
            return None  # no time at all
        return None

    def _check_ending(self, cleaned: dict[str, Any]) -> None:
        ended = cleaned.get("ended")
        if cleaned.get("not_done_why"):
            self._check_nothing_was_read(ended)
            return
        if self.stored is not None and self.stored.state == "not_done":
            self.row_values["state"] = "done"
        standard = cleaned.get("method") in (TestMethod.C1701, TestMethod.C1781)
        if not ended and standard:
            self.add_error("ended", "Say how the run ended: drained, stopped, too fast or spoiled.")
        if ended == Ended.SPOILED and not cleaned.get("spoiled_why"):
            self.add_error("spoiled_why", "Say why the run was spoiled.")
        left, poured = self.row_values.get("water_left"), self.row_values.get("water")
        if left is not None and ended != Ended.STOPPED:
            self.add_error("water_left", "Water is left only where the run was stopped.")
        if left is not None and poured is not None and left > poured:
            self.add_error("water_left", "No more water can be left than was poured.")

    def _check_nothing_was_read(self, ended: str | None) -> None:
        self.row_values["state"] = "not_done"
        read = [name for name in (*READ, *TIMES) if self.row_values.get(name) is not None]
        if ended or read:
            self.add_error(
                "not_done_why",
                "Something was read. Take this reason out, or the readings and how the run ended.",
            )

    def entry(self) -> InfiltrationTest:
        """Return the unsaved row of a valid form."""
        values = {k: v for k, v in self.row_values.items() if v is not None}
        row = InfiltrationTest(pavement=self.pavement, **values)
        row.stratum = values.get("stratum") or values["spot"].stratum
        row.as_written = self.texts
        row.empties = self.empties
        return row

    def changes(self) -> Changes:
        """Return the corrections of a valid form against the stored row."""
        if self.stored is None:
            raise ValueError("This form is for a new entry.")
        own = {name: value for name, value in self.row_values.items() if name != "stratum"}
        return self.changes_from(own, self.texts)


def _initial(row: InfiltrationTest, zone: str) -> dict[str, Any]:
    """Return what a form for correcting a stored row shows: texts as written where kept."""
    shown: dict[str, Any] = {}
    for name in InfiltrationTestForm.base_fields:
        if hasattr(row, name):
            shown[name] = getattr(row, name)
    for name in (*READ, *TIMES):
        if shown[name] is not None:
            shown[name] = f"{shown[name]:.10g}"
        elif name in row.empties:
            shown[name] = row.empties[name]
    for name, kind in SI_FIELDS.items():
        if shown[name] is not None:
            shown[name] = f"{from_si(shown[name], kind, System(row.system)):.10g}"
    shown |= _local_parts("started_on", "clock", row.started_at, zone)
    shown |= _local_parts("rain_ended_on", "rain_ended_clock", row.rain_ended_at, zone)
    shown["started_on"] = row.started_on
    return shown


def _local_parts(day: str, clock: str, at: datetime | None, zone: str) -> dict[str, Any]:
    if at is None:
        return {}
    local = at.astimezone(ZoneInfo(zone))
    return {day: local.date(), clock: f"{local:%H:%M}"}


def today_at(zone: str, now: datetime) -> date:
    """Return the site's local date at an instant."""
    return now.astimezone(ZoneInfo(zone)).date()
