"""The form of a line of the winter log."""

from typing import Any, ClassVar

from registry.forms.site_entry import SiteEntryForm
from registry.models import WinterEntry
from registry.units import Kind


class WinterEntryForm(SiteEntryForm):
    """What was plowed or spread, where, and who says so."""

    parent_name: ClassVar[str] = "pavement"
    plain: ClassVar[frozenset[str]] = frozenset(
        {"note", "panels_text", "spread_as", "told_by", "snow_piled", "obtained_on", "is_about"}
    )
    quantities: ClassVar[dict[str, Kind]] = {
        "bag_kg": Kind.MASS,
        "deicer_kg": Kind.MASS,
        "sand_kg": Kind.MASS,
    }
    ranges: ClassVar[dict[str, tuple[float | None, float | None]]] = {"bags": (0, 100_000)}
    panel_fields = {"panels_text": "panels"}
    groups = (
        ("When and by whom", ("done_on", "done_at", "done_by", "told_by", "obtained_on")),
        ("Plow", ("plowed", "edge", "shoes", "snow_piled")),
        (
            "Deicer and sand",
            ("deicer", "spread_as", "bags", "bag_kg", "deicer_kg", "sand_kg", "is_about"),
        ),
        ("Where", ("panels_text",)),
    )

    class Meta:
        model = WinterEntry
        fields = (
            "done_on", "done_at", "done_by", "plowed", "edge", "shoes", "deicer", "spread_as",
            "bags", "bag_kg", "deicer_kg", "sand_kg", "is_about", "panels_text", "snow_piled",
            "told_by", "obtained_on", "note",
        )  # fmt: skip
        help_texts = {
            "panels_text": "D, C8-C11; or in words where no panels are drawn",
            "told_by": "Where two sources disagree, write both lines; neither is chosen.",
            "done_at": "clock with its day, 2024-01-08 05:30",
        }

    def panels_on(self, cleaned: dict[str, Any]) -> Any:
        """The plan of the day of the line."""
        return cleaned.get("done_on")

    def clean(self) -> dict[str, Any]:
        """A mass that is bags times the weight of one is worked out, and has to agree."""
        cleaned = super().clean()
        bags, bag, mass = (cleaned.get(name) for name in ("bags", "bag_kg", "deicer_kg"))
        if bags is not None and bag is not None and mass is not None:
            if abs(bags * bag - mass) > 0.02 * mass + 0.5:
                self.add_error("deicer_kg", "It is not bags times the weight of a bag. Look again.")
        elif bags is not None and bag is not None:
            cleaned["deicer_kg"] = bags * bag
        return cleaned
