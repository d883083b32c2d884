"""Forms of the cover: laid, walked round, broken, taken off; and of loads before the release."""

from typing import Any, ClassVar

from registry.forms.load import OfADayForm
from registry.models import Cover, CoverBreak, CoverWalk, EarlyLoad, Uncover
from registry.units import Kind

PANELS = {"panels_text": "panels"}
SAY_PANELS = "A, C; or C8-C9; or in words where no panels are drawn"


class CoverForm(OfADayForm):
    """A strip, its sheet, when its first and last foot were covered, laps and edges."""

    plain: ClassVar[frozenset[str]] = frozenset({"note", "panels_text"})
    quantities: ClassVar[dict[str, Kind]] = {
        "sheet_mm": Kind.SHEET,
        "overlap_mm": Kind.SMALL_LENGTH,
    }
    panel_fields = PANELS

    class Meta:
        model = Cover
        fields = (
            "panels_text", "first_at", "last_at", "sheet_mm", "misted_before", "laps",
            "overlap_mm", "edges", "note",
        )  # fmt: skip
        help_texts = {"panels_text": SAY_PANELS}

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["panels_text"].required = True

    def clean(self) -> dict[str, Any]:
        """The last foot is covered after the first."""
        cleaned = super().clean()
        first, last = cleaned.get("first_at"), cleaned.get("last_at")
        if first and last and last < first:
            self.add_error("last_at", "The last foot is covered after the first.")
        return cleaned


class CoverWalkForm(OfADayForm):
    """A walk round the covers; the first six hours hourly (common practice, no source)."""

    plain: ClassVar[frozenset[str]] = frozenset({"note", "walked_by", "panels_text", "found"})
    panel_fields = PANELS

    class Meta:
        model = CoverWalk
        fields = ("at", "walked_by", "panels_text", "found", "note")
        help_texts = {"panels_text": "Left blank: all covers."}


class CoverBreakForm(OfADayForm):
    """Which panels lay bare, from when to when, why, and how they were covered again."""

    plain: ClassVar[frozenset[str]] = frozenset({"note", "panels_text", "relaid_how"})
    quantities: ClassVar[dict[str, Kind]] = {"bare_area_m2": Kind.AREA}
    panel_fields = PANELS

    class Meta:
        model = CoverBreak
        fields = (
            "panels_text", "bare_area_m2", "from_at", "to_at", "cause", "relaid_how", "note",
        )  # fmt: skip
        help_texts = {
            "panels_text": SAY_PANELS,
            "to_at": "nk where nobody wrote it down; then no hours are given",
        }

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["panels_text"].required = True

    def clean(self) -> dict[str, Any]:
        """A sheet is laid again after it came off."""
        cleaned = super().clean()
        off, relaid = cleaned.get("from_at"), cleaned.get("to_at")
        if off and relaid and relaid < off:
            self.add_error("to_at", "It is laid again after it came off.")
        return cleaned


class UncoverForm(OfADayForm):
    """Which panels were uncovered for good, and when."""

    plain: ClassVar[frozenset[str]] = frozenset({"note", "panels_text"})
    panel_fields = PANELS

    class Meta:
        model = Uncover
        fields = ("panels_text", "at", "uncovered_by", "note")
        help_texts = {"panels_text": SAY_PANELS, "at": "with its day: 2023-08-29 08:00"}

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["panels_text"].required = True


class EarlyLoadForm(OfADayForm):
    """Feet, animals or wheels before the release."""

    plain: ClassVar[frozenset[str]] = frozenset({"note", "panels_text", "in_words", "seen_by"})
    panel_fields = PANELS

    class Meta:
        model = EarlyLoad
        fields = ("what", "in_words", "panels_text", "at", "seen_by", "note")
        help_texts = {"panels_text": SAY_PANELS, "at": "with its day: 2023-09-05 16:05"}

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["panels_text"].required = True
