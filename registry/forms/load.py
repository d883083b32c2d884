"""Forms of a load and of where it was spread."""

from datetime import date
from typing import Any, ClassVar

from django.db import models

from registry.forms.entry import PartForm
from registry.forms.site_entry import SiteEntryForm
from registry.models import Load, Spread
from registry.units import Kind

TIMES = (
    ("batched_at", "arrived_at"),
    ("arrived_at", "discharge_from_at"),
    ("discharge_from_at", "discharge_to_at"),
    ("discharge_from_at", "cover_first_at"),
    ("cover_first_at", "cover_last_at"),
)


class OfADayForm(SiteEntryForm):
    """An entry of a placing day: clocks are on that day unless another is written."""

    parent_name: ClassVar[str] = "placing_day"

    def day_of(self, parent: models.Model) -> date | None:
        """Return the day of placing."""
        on: date = parent.placed_on
        return on

    def keep_units(self) -> None:
        """Remember in which units a new entry was written."""
        if not self.is_correction:
            self.instance.system = self.chosen_system.value


class LoadForm(OfADayForm):
    """A ticket, its water, its clocks, how it looked, when it was covered."""

    plain: ClassVar[frozenset[str]] = frozenset({"note", "number", "ticket"})
    quantities: ClassVar[dict[str, Kind]] = {
        "volume_m3": Kind.VOLUME,
        "cementitious_kg_m3": Kind.CONTENT,
        "batch_water_kg": Kind.MASS,
        "free_moisture_kg": Kind.MASS,
        "held_back_l": Kind.LIQUID,
        "site_water_l": Kind.LIQUID,
        "density_kg_m3": Kind.DENSITY,
        "concrete_c": Kind.TEMPERATURE,
        "wasted_m3": Kind.VOLUME,
    }
    groups = (
        ("Ticket", ("number", "ticket", "plant", "mix", "volume_m3")),
        (
            "Mix and water",
            (
                "cementitious_kg_m3", "batch_water_kg", "free_moisture_kg", "held_back_l",
                "stabilizer", "admixture",
            ),
        ),
        ("Clocks", ("batched_at", "arrived_at", "discharge_from_at", "discharge_to_at")),
        ("Water added on site", ("site_water_l", "site_water_at", "site_water_by")),
        ("How it came", ("look", "density_kg_m3", "concrete_c")),
        ("Covered", ("cover_first_at", "cover_last_at")),
        ("Not placed", ("wasted_m3", "sent_back_why")),
    )  # fmt: skip

    class Meta:
        model = Load
        fields = (
            "number", "ticket", "plant", "mix", "volume_m3", "cementitious_kg_m3",
            "batch_water_kg", "free_moisture_kg", "held_back_l", "stabilizer", "admixture",
            "batched_at", "arrived_at", "discharge_from_at", "discharge_to_at", "site_water_l",
            "site_water_at", "site_water_by", "look", "density_kg_m3", "concrete_c",
            "cover_first_at", "cover_last_at", "wasted_m3", "sent_back_why", "note",
        )  # fmt: skip
        help_texts = {
            "free_moisture_kg": "0 where the batch water has it already; nk where nobody knows",
            "site_water_l": "0 where none was added; nk where nobody knows",
        }

    def clean(self) -> dict[str, Any]:
        """Clocks follow each other; a number stands once a day."""
        cleaned = super().clean()
        for before, after in TIMES:
            first, second = cleaned.get(before), cleaned.get(after)
            if first and second and second < first:
                label = self.fields[before].label
                self.add_error(after, f"It comes before “{label}”. Look at both clocks again.")
        self._refuse_number_twice(cleaned)
        self.keep_units()
        return cleaned

    def _refuse_number_twice(self, cleaned: dict[str, Any]) -> None:
        number = cleaned.get("number")
        rows = self.parent.loads.standing().exclude(pk=self.instance.pk)
        if number and rows.filter(number=number).exists():
            self.add_error("number", f"Load {number} of this day is written down already.")


class SpreadForm(PartForm):
    """A lane, from and to."""

    parent_name: ClassVar[str] = "load"
    plain: ClassVar[frozenset[str]] = frozenset({"note", "lane"})
    quantities: ClassVar[dict[str, Kind]] = {"from_m": Kind.LENGTH, "to_m": Kind.LENGTH}

    class Meta:
        model = Spread
        fields = ("lane", "from_m", "to_m", "note")
        help_texts = {"from_m": "up from the datum line", "to_m": "up from the datum line"}

    def clean(self) -> dict[str, Any]:
        """“To” lies beyond “from”; lanes are written in capitals, as on the plan."""
        cleaned = super().clean()
        begin, end = cleaned.get("from_m"), cleaned.get("to_m")
        if begin is not None and end is not None and end <= begin:
            self.add_error("to_m", "“to” lies beyond “from”.")
        if cleaned.get("lane"):
            cleaned["lane"] = str(cleaned["lane"]).strip().upper()
        return cleaned
