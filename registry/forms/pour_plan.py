"""The form of a pour plan: lanes in order, load, pace, plant, cover, limits, hourly forecast."""

import re
from datetime import date
from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.forecast import ForecastField, ForecastRow, text_of
from registry.forms.open_fields import LinesField, NumberField, WrittenNumber
from registry.forms.quantity import MarkedEmpty, join_clock
from registry.forms.site_entry import SiteEntryForm
from registry.models import Pavement, PourPlan
from registry.units import Kind, System, from_si, show, unit_sign

TAPE_M = 0.02
"""Feet from a tape miss the end of a lane by that much."""
_STRIP = re.compile(
    r"([A-Za-z]{1,3})(?:\s+(\d+(?:[.,]\d+)?)\s*(?:-|–|to)\s*(\d+(?:[.,]\d+)?)\s*(ft|m)?)?"
)


MILE_KM = 1.609344
"""International mile, exact by definition (NIST SP 811, appendix B)."""


class DistanceField(NumberField):
    """A way driven, "12 mi" or "19 km"; cleans to kilometres with the text."""

    system: System = System.INCH_POUND

    def clean(self, value: Any) -> WrittenNumber | MarkedEmpty | None:
        """Read the number; a unit that is written wins over that of the form."""
        text = str(value or "").strip()
        words = text.casefold()
        unit = next((unit for unit in ("miles", "mile", "mi", "km") if words.endswith(unit)), "")
        found = super().clean(text[: len(text) - len(unit)].strip())
        if not isinstance(found, WrittenNumber):
            return found
        is_metric = unit == "km" or (not unit and self.system is System.SI)
        return WrittenNumber(text, found.value if is_metric else found.value * MILE_KM)


class LaneOrderField(LinesField):
    """Lanes in the order of placing, one a line: "A", or "C 0-60" for a part of one."""

    lanes: ClassVar[dict[str, tuple[float, float]]] = {}

    def read_line(self, line: str) -> list[Any]:
        """Return lane, from and to in metres; a lane alone is placed from end to end."""
        found = _STRIP.fullmatch(line)
        if found is None:
            raise ValidationError("Write A, or C 0-60.")
        name = found[1].upper()
        if name not in self.lanes:
            known = ", ".join(self.lanes) or "none"
            raise ValidationError(f"There is no lane {name} on the plan; there are {known}.")
        low, high = self.lanes[name]
        if found[2] is None:
            return [name, low, high]
        begin, end = (self.length(f"{x} {found[4] or ''}".strip()) for x in (found[2], found[3]))
        if end <= begin:
            raise ValidationError("“to” lies beyond “from”.")
        if end > high + TAPE_M or begin < low - TAPE_M:
            ends = (show(x, Kind.LENGTH, self.system) for x in (low, high))
            raise ValidationError(f"The lane goes from {' to '.join(ends)}.")
        return [name, begin, end]

    def write_line(self, stored: Any) -> str:
        """Return "C 0-60 ft"."""
        name, begin, end = stored
        ends = (f"{from_si(x, Kind.LENGTH, self.system):.6g}" for x in (begin, end))
        return f"{name} {'-'.join(ends)} {unit_sign(Kind.LENGTH, self.system)}"


def ends_of_lanes(pavement: Pavement) -> dict[str, tuple[float, float]]:
    """Return from where to where each lane of the panels drawn goes, m, in their order."""
    rows = pavement.panels.standing().filter(exists_to_on__isnull=True)
    found: dict[str, tuple[float, float]] = {}
    for name, up, long in rows.values_list("name", "up_m", "length_m"):
        lane = "".join(sign for sign in name if sign.isalpha() and sign.isupper())
        low, high = found.get(lane, (up, up + long))
        found[lane] = (min(low, up), max(high, up + long))
    return dict(sorted(found.items(), key=lambda item: (len(item[0]), item[0])))


class PourPlanForm(SiteEntryForm):
    """Everything that a plan of a placing day rests on."""

    parent_name: ClassVar[str] = "pavement"
    plain: ClassVar[frozenset[str]] = frozenset(
        {"note", "planned_on", "limit_by", "shade_misting", "forecast_source", "shown_on"}
    )
    quantities: ClassVar[dict[str, Kind]] = {
        "thickness_mm": Kind.SMALL_LENGTH,
        "load_m3": Kind.VOLUME,
        "placing_speed_m_min": Kind.PLACING_SPEED,
        "drying_limit_kg_m2_h": Kind.DRYING,
        "concrete_c": Kind.TEMPERATURE,
    }
    ranges: ClassVar[dict[str, tuple[float | None, float | None]]] = {
        "wasted_percent": (0, 50),
        "cover_min": (0, 240),
        "cover_within_min": (0, 240),
        "plant_min": (0, 300),
        "batch_to_discharge_min": (1, 600),
        "crew": (1, 200),
        "cover_crew": (0, 200),
    }
    said = {"lanes": str, "forecast": lambda rows: f"{len(rows)} hours"}
    groups = (
        ("The day", ("planned_on", "first_at", "lanes")),
        ("Loads and pace", ("thickness_mm", "load_m3", "wasted_percent", "placing_speed_m_min")),
        ("Plant", ("plant_km", "plant_min", "batch_to_discharge_min")),
        ("Crew and cover", ("crew", "cover_crew", "cover_min", "cover_within_min",
                            "shade_misting")),
        ("Drying", ("limit_by", "drying_limit_kg_m2_h", "concrete_c")),
        ("Forecast", ("forecast_source", "forecast", "forecast_file")),
        ("Who sees it", ("shown_on",)),
    )  # fmt: skip
    lanes = LaneOrderField(
        label="lanes, in the order of placing",
        required=True,
        help_text="One a line: A for the whole lane, C 0-60 for a part of it.",
    )
    plant_km = DistanceField(
        least=0, most=500, label="plant, distance", help_text="12 mi, or 19 km"
    )
    forecast = ForecastField(label="forecast by the hour")
    forecast_file = forms.FileField(label="or bring it as a CSV file", required=False)

    class Meta:
        model = PourPlan
        fields = (
            "planned_on", "first_at", "lanes", "thickness_mm", "load_m3", "wasted_percent",
            "placing_speed_m_min", "plant_km", "plant_min", "batch_to_discharge_min", "crew",
            "cover_crew", "cover_min", "cover_within_min", "shade_misting", "limit_by",
            "drying_limit_kg_m2_h", "concrete_c", "forecast_source", "forecast", "shown_on", "note",
        )  # fmt: skip
        help_texts = {
            "first_at": "by the clock at the site",
            "cover_min": "from discharge to the last foot covered, as this crew keeps it",
            "shown_on": "Left blank: it is your own record and nobody else sees it.",
        }

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.left_out = 0
        self.fields["plant_km"].system = self.chosen_system
        if self.is_correction and self.instance.plant_km is not None:
            self.initial["plant_km"] = f"{self.instance.plant_km:.6g} km"
        self.fields["lanes"].lanes = known = ends_of_lanes(self.pavement)
        if not self.is_correction and not self.is_bound:
            self.initial.setdefault("lanes", "\n".join(known))
        if self.is_correction and not self.is_bound:
            text = self.instance.written("forecast") or self._table(self.instance.forecast)
            self.initial["forecast"] = text

    def _table(self, rows: list[list[Any]]) -> str:
        """Write a stored forecast back as it is read."""
        warm, fast = (unit_sign(k, self.chosen_system) for k in (Kind.TEMPERATURE, Kind.SPEED))
        lines = [f"time, air {warm}, humidity %, wind {fast}, concrete {warm}"] if rows else []
        for clock, air, humidity, wind, concrete in rows:
            values = ((air, Kind.TEMPERATURE), (wind, Kind.SPEED), (concrete, Kind.TEMPERATURE))
            told = [
                "" if v is None else f"{from_si(v, kind, System(self.chosen_system)):.6g}"
                for v, kind in values
            ]
            lines.append(f"{clock}, {told[0]}, {humidity:g}, {told[1]}, {told[2]}")
        return "\n".join(lines)

    def clean_planned_on(self) -> date:
        """Clocks without a day are on the day that is planned."""
        on: date = self.cleaned_data["planned_on"]
        self.fields["first_at"].day = on
        return on

    def clean(self) -> dict[str, Any]:
        """Take the forecast from where it was given; keep the hours of the day alone."""
        self._bring_file()
        cleaned = super().clean()
        if not self.is_correction:
            self.instance.system = self.chosen_system.value
        if "forecast" in cleaned:
            self._keep_hours(cleaned)
        if cleaned.get("limit_by") == "own" and cleaned.get("drying_limit_kg_m2_h") is None:
            self.add_error("drying_limit_kg_m2_h", "Write down the contract’s own limit.")
        return cleaned

    def _bring_file(self) -> None:
        file = self.cleaned_data.get("forecast_file")
        self.forecast_text = str(self.data.get(self.add_prefix("forecast"), "")).strip()
        if not file:
            return
        if self.forecast_text and self.forecast_text != str(self.initial.get("forecast", "")):
            self.add_error("forecast_file", "Give the forecast once: typed, or as a file.")
            return
        try:
            self.forecast_text = text_of(file).strip()
            self.cleaned_data["forecast"] = self.fields["forecast"].clean(self.forecast_text)
        except ValidationError as fault:
            self.add_error("forecast_file", fault)

    def _keep_hours(self, cleaned: dict[str, Any]) -> None:
        """Hours of other days are left out and counted; a clock that is none is named."""
        rows: list[ForecastRow] = cleaned["forecast"] or []
        day = cleaned.get("planned_on")
        kept = [row for row in rows if row.on in (None, day)]
        self.left_out = len(rows) - len(kept)
        if rows and not kept and day:
            self.add_error("forecast", f"No hour of it is on {day:%Y-%m-%d}.")
        for row in kept:
            try:
                if day:
                    join_clock(day, row.clock, self.pavement.site.time_zone)
            except ValidationError as fault:
                self.add_error("forecast", [f"Row {row.nth}: {words}" for words in fault.messages])
        self.texts["forecast"] = self.forecast_text
        cleaned["forecast"] = [
            [row.clock, row.air_c, row.humidity_percent, row.wind_km_h, row.concrete_c]
            for row in kept
        ]
