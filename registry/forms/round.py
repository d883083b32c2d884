"""Forms of rounds: what is asked for, and what a person changes by hand."""

import re
from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from registry.faults import DomainError
from registry.forms.quantity import DayField, MarkedEmpty, QuantityField
from registry.models import Crew, Round
from registry.models.round import MOST_DAYS
from registry.units import Kind, System, Written, read_date, read_quantity, show

MOST_SECONDS = 600
LARGEST_SEED = 2**31 - 1
FASTEST_KM_H = 150.0
"""Faster than any truck may drive; common practice, no source."""
COLDEST_C, HOTTEST_C = -90.0, 60.0
"""Around what was ever measured, -89.2 and 56.7 (WMO World Weather and Climate Extremes Archive;
from memory)."""
WEATHER_HELP = (
    "One day a line, as foretold: 2026-09-17 wet until 06:00 40. Wet, dry or ?, of a wet day the "
    "hour at which the rain ends, and the lowest temperature, if you like. Work on a dry surface "
    "waits from that hour as long as the limits of the work say, 24 h by the house rule; without "
    "one the wet day alone is kept off. Days not written are not known and forbid nothing."
)
_WEATHER = re.compile(
    r"(\S+)\s+(wet|dry|\?)(?:\s+until\s+(\d{1,2}:\d{2}))?(?:\s+(.+))?", re.IGNORECASE
)
_CLOCK = re.compile(r"([01]?\d|2[0-3]):[0-5]\d")


class RoundForm(forms.Form):
    """A round to be worked out."""

    first_on = DayField(
        label="first day", help_text="Of today what is left from the next quarter of an hour on."
    )
    days = forms.IntegerField(label="days", min_value=1, max_value=MOST_DAYS, initial=14)
    seconds = forms.IntegerField(
        label="seconds to search",
        min_value=1,
        max_value=MOST_SECONDS,
        initial=30,
        help_text="A longer search drives less. 1 000 orders take a minute.",
    )
    iterations = forms.IntegerField(
        label="steps at most",
        required=False,
        min_value=1,
        max_value=10**9,
        help_text="Beside the seconds. The same seed and steps give the same round again.",
    )
    seed = forms.IntegerField(label="seed", min_value=0, max_value=LARGEST_SEED, initial=1)
    detour_factor = forms.FloatField(
        label="way by road over way as the crow flies", min_value=1, max_value=10, initial=1.3
    )
    speed = QuantityField(Kind.SPEED, label="speed on the road", required=True)
    travel = forms.FileField(
        label="table of driving times",
        required=False,
        help_text="In place of positions and speed: CSV with the head from,to,minutes; places by "
        "the names listed below.",
        widget=forms.ClearableFileInput(attrs={"accept": ".csv"}),
    )
    weather = forms.CharField(
        label="weather", required=False, widget=forms.Textarea(attrs={"rows": 3}),
        help_text=WEATHER_HELP, max_length=20_000,
    )  # fmt: skip
    time_zone = forms.ChoiceField(label="local time of the sites")

    def __init__(self, *args: Any, system: System, zones: Sequence[str], **options: Any) -> None:
        super().__init__(*args, **options)
        self.system = system
        speed = self.fields["speed"]
        speed.system = system
        speed.initial = show(35.0, Kind.SPEED, system, digits=0)
        self.zones = zones
        self.fields["time_zone"].choices = [("", "choose"), *((zone, zone) for zone in zones)]
        if len(zones) == 1:
            del self.fields["time_zone"]

    def clean_speed(self) -> float:
        """Return the speed in km/h."""
        given = self.cleaned_data["speed"]
        if not isinstance(given, Written) or isinstance(given, MarkedEmpty) or given.si <= 0:
            raise ValidationError("The speed on the road is above 0.")
        if given.si > FASTEST_KM_H:
            fastest = show(FASTEST_KM_H, Kind.SPEED, self.system, digits=0)
            raise ValidationError(f"No truck drives faster than {fastest}.")
        return float(given.si)

    def clean_weather(self) -> list[list[str | bool | float | None]]:
        """Return rows of [day, wet, lowest in degrees Celsius, hour the rain ends]."""
        lines = self.cleaned_data["weather"].splitlines()
        return [self._day(n, line) for n, line in enumerate(lines, start=1) if line.strip()]

    def _day(self, n: int, line: str) -> list[str | bool | float | None]:
        found = _WEATHER.fullmatch(line.strip())
        if found is None or (found[4] and found[4].casefold().startswith("until")):
            raise ValidationError(
                f"Line {n}: write a day, then wet, dry or ?, then until and an hour, then a "
                "temperature: 2026-09-17 wet until 06:00 40."
            )
        try:
            on = read_date(found[1])
            lowest = found[4] and read_quantity(found[4], Kind.TEMPERATURE, system=self.system).si
        except DomainError as fault:
            raise ValidationError(f"Line {n}: {fault}") from fault
        if lowest is not None and not COLDEST_C <= float(lowest) <= HOTTEST_C:
            raise ValidationError(f"Line {n}: “{found[4]}” is no temperature of the air.")
        wet = {"wet": True, "dry": False}.get(found[2].casefold())
        lowest = None if lowest is None else float(lowest)
        return [on.isoformat(), wet, lowest, _rain_ends(n, found[3], is_wet=wet is True)]

    def clean(self) -> dict[str, Any]:
        """Work out the last day."""
        cleaned = super().clean() or self.cleaned_data
        first_on, days = cleaned.get("first_on"), cleaned.get("days")
        if first_on is not None and days is not None:
            cleaned["last_on"] = first_on + timedelta(days=days - 1)
        return cleaned

    def row_for(self, organisation: Any, travel: Any) -> Round:
        """Return the round that is asked for, not stored."""
        asked = self.cleaned_data
        names = ("first_on", "last_on", "seconds", "iterations", "seed", "detour_factor", "weather")
        fields = {name: asked[name] for name in names}
        return Round(
            organisation=organisation,
            speed_km_h=asked["speed"],
            time_zone=asked.get("time_zone") or self.zones[0],
            travel=travel,
            **fields,
        )


def _rain_ends(n: int, clock: str | None, *, is_wet: bool) -> str | None:
    """Return the hour at which the rain of a wet day ends, as HH:MM."""
    if clock is None:
        return None
    if not is_wet:
        raise ValidationError(f"Line {n}: only of a wet day is there an hour the rain ends at.")
    if not _CLOCK.fullmatch(clock):
        raise ValidationError(f"Line {n}: “{clock}” is no clock time. Write 06:00.")
    return clock.zfill(5)


class _CrewDayForm(forms.Form):
    """A day of a round and one of its crews."""

    def __init__(self, *args: Any, row: Round, crews: QuerySet[Crew], **options: Any) -> None:
        super().__init__(*args, **options)
        self.row = row
        self.fields["crew"].queryset = crews

    def inside(self, name: str) -> date | None:
        """Return a day of the round, or complain at its field."""
        on: date | None = self.cleaned_data.get(name)
        if on is not None and not self.row.first_on <= on <= self.row.last_on:
            raise ValidationError(f"The round runs from {self.row.first_on} to {self.row.last_on}.")
        return on

    def clean_on(self) -> date | None:
        """Refuse a day outside of the round."""
        return self.inside("on")


class RoundOrderForm(_CrewDayForm):
    """What to do with one order: move it now, pin it for the next search, or set it free."""

    what = forms.ChoiceField(
        label="what",
        choices=[
            ("move", "move it to this day and crew now"),
            ("pin", "pin it to this day, crew or both, for the next search"),
            ("free", "set it free again"),
        ],
        widget=forms.RadioSelect,
        initial="move",
    )
    on = DayField(label="day", required=False)
    crew = forms.ModelChoiceField(
        label="crew", queryset=None, required=False, empty_label="any crew"
    )

    def clean(self) -> dict[str, Any]:
        """Ask for what the choice needs."""
        cleaned = super().clean() or self.cleaned_data
        what, on, crew = (cleaned.get(name) for name in ("what", "on", "crew"))
        if what == "free":  # wherever it stands: on a day kept of the round before, too
            self.errors.pop("on", None)
            cleaned["on"] = None
        elif what == "move":
            if on is None and "on" not in self.errors:
                self.add_error("on", "Say to which day it is moved.")
            if crew is None and "crew" not in self.errors:
                self.add_error("crew", "Say to which crew it is moved.")
        elif what == "pin" and on is None and crew is None and not self.errors:
            self.add_error("on", "Say to which day or crew it is pinned.")
        return cleaned


class RoundCallOffForm(_CrewDayForm):
    """A day on which no work is done."""

    on = DayField(label="day")
    crew = forms.ModelChoiceField(
        label="crew", queryset=None, required=False, empty_label="all crews"
    )
    why = forms.CharField(label="because", max_length=160)


class RoundTakeOverForm(forms.Form):
    """From which day to which the round is taken over."""

    first_on = DayField(label="from")
    last_on = DayField(label="to, that day included")

    def clean(self) -> dict[str, Any]:
        """Refuse days that run backwards."""
        cleaned = super().clean() or self.cleaned_data
        first_on, last_on = cleaned.get("first_on"), cleaned.get("last_on")
        if first_on and last_on and last_on < first_on:
            self.add_error("last_on", "The last day is before the first.")
        return cleaned
