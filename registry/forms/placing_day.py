"""The form of a placing day, with the limits of the contract that it is held against."""

from datetime import date
from typing import Any, ClassVar

from django import forms

from registry.forms.open_fields import LinesField
from registry.forms.site_entry import SiteEntryForm
from registry.models import PlacingDay, Repair
from registry.models.placing_day import TASKS
from registry.units import Kind


class CrewField(LinesField):
    """Who did what, "screed: two names" one a line."""

    def read_line(self, line: str) -> list[Any]:
        """Return the task and the names."""
        task, _, names = line.partition(":")
        code = task.strip().casefold()
        if code not in TASKS:
            known = ", ".join(TASKS.values())
            raise forms.ValidationError(f"Begin with a task ({known}) and a colon.")
        return [code, [name.strip()[:80] for name in names.split(",") if name.strip()]]

    def clean(self, value: Any) -> Any:
        """Return tasks and names."""
        return dict(super().clean(value))

    def prepare_value(self, value: Any) -> Any:
        """Show what is stored, a task a line."""
        if isinstance(value, dict):
            return "\n".join(f"{task}: {', '.join(names)}" for task, names in value.items())
        return value


def crew_in_words(crew: Any) -> str:
    """Return nothing of who did what: a correction line is read by both sides."""
    return "changed" if crew else ""


class PlacingDayForm(SiteEntryForm):
    """Date, foreman, crew, subbase, plan thickness and every limit."""

    parent_name: ClassVar[str] = "pavement"
    plain: ClassVar[frozenset[str]] = frozenset({"note", "number", "placed_on", "crew_by_task"})
    quantities: ClassVar[dict[str, Kind]] = {
        "thickness_mm": Kind.SMALL_LENGTH,
        "placing_speed_m_min": Kind.PLACING_SPEED,
        "density_approved_kg_m3": Kind.DENSITY,
        "density_tolerance_kg_m3": Kind.DENSITY,
        "drying_limit_kg_m2_h": Kind.DRYING,
    }
    ranges: ClassVar[dict[str, tuple[float | None, float | None]]] = {
        "cover_within_min": (0, 600),
        "covered_hours_required": (0, 2000),
        "batch_to_discharge_min": (0, 600),
        "water_cement_design": (0.1, 1),
        "water_cement_limit": (0.1, 1),
    }
    said = {"crew_by_task": crew_in_words}
    groups = (
        ("The day", ("number", "placed_on", "starts_at", "ends_at", "foreman")),
        ("Which concrete", ("section", "repair")),
        ("Ground and test panel", ("subbase", "must_match", "thickness_mm")),
        ("Pace", ("placing_speed_m_min",)),
        (
            "Limits of the contract and the mix",
            (
                "cover_within_min", "covered_hours_required", "batch_to_discharge_min",
                "water_cement_design", "water_cement_limit", "density_approved_kg_m3",
                "density_tolerance_kg_m3", "drying_limit_kg_m2_h",
            ),
        ),
        ("Kept inside our own firm", ("crew_by_task",)),
        ("Opened", ("released_on",)),
    )  # fmt: skip
    crew_by_task = CrewField(
        label="crew by task, one a line", help_text="screed: names. Nobody else sees it."
    )

    class Meta:
        model = PlacingDay
        fields = (
            "number", "placed_on", "starts_at", "ends_at", "foreman", "section", "repair",
            "subbase", "must_match", "thickness_mm", "placing_speed_m_min", "cover_within_min",
            "covered_hours_required", "batch_to_discharge_min", "water_cement_design",
            "water_cement_limit", "density_approved_kg_m3", "density_tolerance_kg_m3",
            "drying_limit_kg_m2_h", "crew_by_task", "released_on", "note",
        )  # fmt: skip
        labels = {
            "placing_speed_m_min": "placing speed",
            "drying_limit_kg_m2_h": "evaporation at most",
        }
        help_texts = {
            "repair": "only where old concrete was replaced",
            "subbase": "frozen: nothing is placed on it",
        }

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["repair"].queryset = Repair.objects.standing().filter(pavement=self.pavement)
        self.fields["repair"].empty_label = "none: new work"

    def clean(self) -> dict[str, Any]:
        """The end comes after the start; the units of the day are those it was written in."""
        cleaned = super().clean()
        start, end = cleaned.get("starts_at"), cleaned.get("ends_at")
        if start and end and end <= start:
            self.add_error("ends_at", "The end must come after the start.")
        if not self.is_correction:
            self.instance.system = self.chosen_system.value
        return cleaned

    def clean_placed_on(self) -> date:
        """Clocks without a day are on the day of placing."""
        on: date = self.cleaned_data["placed_on"]
        for name in ("starts_at", "ends_at"):
            self.fields[name].day = on
        return on
