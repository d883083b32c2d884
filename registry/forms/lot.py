"""The form of a lot for acceptance."""

from typing import Any, ClassVar

from registry.forms.site_entry import SiteEntryForm
from registry.models import Lot
from registry.units import Kind


class LotForm(SiteEntryForm):
    """Panels accepted together, and the rule of the contract."""

    parent_name: ClassVar[str] = "pavement"
    plain: ClassVar[frozenset[str]] = frozenset(
        {"note", "name", "panels_text", "rule", "punch_list", "made_on"}
    )
    quantities: ClassVar[dict[str, Kind]] = {"area_m2": Kind.AREA, "least_rate_mm_h": Kind.RATE}
    ranges: ClassVar[dict[str, tuple[float | None, float | None]]] = {
        "tests_needed": (1, 100),
        "test_after_days": (0, 365),
    }
    panel_fields = {"panels_text": "panels"}

    class Meta:
        model = Lot
        fields = (
            "name", "placing_day", "made_on", "panels_text", "area_m2", "rule", "tests_needed",
            "least_rate_mm_h", "test_after_days", "grade_ok", "look_ok", "punch_list", "note",
        )  # fmt: skip
        help_texts = {
            "rule": "as the contract words it",
            "panels_text": "Left blank: all panels of that day.",
        }

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["placing_day"].queryset = self.parent.placing_days.standing()
        self.fields["placing_day"].empty_label = "none chosen"

    def panels_on(self, cleaned: dict[str, Any]) -> Any:
        """The plan of the day the lot was placed."""
        return cleaned.get("made_on")
