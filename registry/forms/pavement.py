"""The forms of a pavement: its facts, its numbers, its states."""

import itertools
from datetime import date
from typing import Any

from django import forms
from django.db.models import QuerySet

from registry.forms.entry import EntryForm, Groups
from registry.forms.quantity import DayField
from registry.forms.site import said_with_address
from registry.models import Organisation, Pavement, Site
from registry.units import Kind

FIRST_FACTS = (
    "name",
    "surface",
    "use",
    "traffic",
    "area_m2",
    "area_found_by",
    "misclosure_percent",
    "thickness_mm",
    "placed_on",
    "placed_until_on",
    "opened_to_feet_on",
    "opened_to_wheels_on",
)
DEGREES = "Degrees with decimals, as a map gives them. West of Greenwich with a minus: -69.6214."
DAYS_IN_ORDER = ("placed_on", "placed_until_on", "substantial_completion_on", "accepted_on")


class PavementForm(EntryForm):
    """The facts of one floor with one structure below."""

    quantities = {"area_m2": Kind.AREA, "thickness_mm": Kind.SMALL_LENGTH}
    ranges = {
        "misclosure_percent": (0, 100),
        "lon": (-180, 180),
        "lat": (-90, 90),
        "datum_lon": (-180, 180),
        "datum_lat": (-90, 90),
        "bearing_of_up_deg": (0, 359.999999),
    }
    groups: Groups = (
        ("What it is", ("name", "surface", "use", "traffic", "accessible_route")),
        ("Area and thickness", FIRST_FACTS[4:8]),
        (
            "Dates",
            (
                *FIRST_FACTS[8:],
                "substantial_completion_on",
                "accepted_on",
                "accepted_by",
            ),
        ),
        ("Around it", ("heavy_trees", "winter_sand", "bare_soil_run_on")),
        (
            "Position on earth",
            ("lon", "lat", "datum_lon", "datum_lat", "bearing_of_up_deg"),
        ),
        ("Sheets", ("sheet_system",)),
    )

    class Meta:
        model = Pavement
        fields: tuple[str, ...] = (
            *FIRST_FACTS,
            "accessible_route",
            "substantial_completion_on",
            "accepted_on",
            "accepted_by",
            "heavy_trees",
            "winter_sand",
            "bare_soil_run_on",
            "lon",
            "lat",
            "datum_lon",
            "datum_lat",
            "bearing_of_up_deg",
            "sheet_system",
            "note",
        )
        help_texts = {
            "misclosure_percent": "Where measures check each other. Over 2 %, measure again.",
            "placed_until_on": "Only if placing took more than one day.",
            "lon": DEGREES,
            "datum_lon": DEGREES,
            "datum_lat": "Where the datum itself is; with the bearing of up every place gets a "
            "position.",
            "bearing_of_up_deg": "Clockwise from true north, looking up from the datum.",
        }

    def clean(self) -> dict[str, Any]:
        """Refuse halves of positions and days against their order."""
        cleaned = super().clean()
        for lon, lat in (("lon", "lat"), ("datum_lon", "datum_lat")):
            if (cleaned.get(lon) is None) != (cleaned.get(lat) is None):
                self.add_error(lat, "A position needs both longitude and latitude.")
        days = [(n, cleaned[n]) for n in DAYS_IN_ORDER if isinstance(cleaned.get(n), date)]
        for (_, before), (name, after) in itertools.pairwise(days):
            if after < before:
                self.add_error(name, f"This day cannot lie before {before.isoformat()}.")
        placed = cleaned.get("placed_on")
        for name in ("opened_to_feet_on", "opened_to_wheels_on"):
            if placed and cleaned.get(name) and cleaned[name] < placed:
                self.add_error(name, "It cannot have been opened before it was placed.")
        return cleaned


class NewPavementForm(PavementForm):
    """A pavement at first: where, what, how large, when, and for which organisation."""

    groups: Groups = (
        ("What it is", ("name", "surface", "use", "traffic", "state")),
        ("Area and thickness", FIRST_FACTS[4:8]),
        ("Dates", FIRST_FACTS[8:]),
        ("Whose", ("organisation", "number", "sheet_system")),
    )
    site = forms.ModelChoiceField(
        label="site", queryset=None, required=False, empty_label="a new site, written below"
    )
    organisation = forms.ModelChoiceField(label="entered for", queryset=None, empty_label=None)
    number = forms.CharField(label="own number", max_length=40, required=False)

    class Meta(PavementForm.Meta):
        fields: tuple[str, ...] = (*FIRST_FACTS, "state", "sheet_system", "note")

    def __init__(
        self,
        *args: Any,
        sites: QuerySet[Site],
        organisations: QuerySet[Organisation],
        **options: Any,
    ) -> None:
        super().__init__(*args, **options)
        self.fields["site"].queryset = sites
        self.fields["site"].label_from_instance = said_with_address
        self.fields["organisation"].queryset = organisations
        self.fields["organisation"].initial = organisations.first()
        states = self.fields["state"]
        states.choices = [c for c in states.choices if c[0] not in ("removed", "split")]

    @property
    def first_group(self) -> list[forms.BoundField]:
        """Return the choice of the site, which stands above everything."""
        return [self["system"], self["site"]]

    @property
    def grouped(self) -> list[tuple[str, list[forms.BoundField]]]:
        """Return the other fields under their legends."""
        parts = [(legend, [self[n] for n in names]) for legend, names in self.groups]
        return [*parts, ("Remark", [self["note"]])]


class NumberForm(forms.Form):
    """An organisation's own number for a pavement."""

    organisation = forms.ModelChoiceField(label="number of", queryset=None, empty_label=None)
    number = forms.CharField(label="number", max_length=40)
    from_on = DayField(label="used from", required=False)

    def __init__(self, *args: Any, organisations: QuerySet[Organisation], **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["organisation"].queryset = organisations


class MoveForm(forms.Form):
    """A move from one state of a pavement to another."""

    to = forms.ChoiceField(label="it is now")
    on = DayField(label="since")
    why = forms.CharField(label="because", max_length=280, widget=forms.Textarea(attrs={"rows": 2}))

    def __init__(self, *args: Any, moves: list[tuple[str, str]], **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["to"].choices = moves
