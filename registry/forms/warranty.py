"""Forms of a warranty: its terms, parts, covers and the limits of an answer."""

from typing import Any, ClassVar
from zoneinfo import available_timezones

from django import forms
from django.core.exceptions import ValidationError
from django.db import models

from registry.forms.entry import PartForm
from registry.forms.hours import ClockTimeField, ListsForm
from registry.forms.open_fields import LinesField
from registry.forms.site_entry import SiteEntryForm
from registry.models import (
    AnswerLimit,
    HolidayList,
    Organisation,
    Warranty,
    WarrantyCover,
    WarrantyPart,
)
from registry.models.warranty import EXCLUSIONS
from registry.units import Kind

Q = models.Q


class ExclusionsField(LinesField):
    """Exclusions, one a line, as the contract words them."""

    def read_line(self, line: str) -> list[str]:
        """Return the key of a usual exclusion, or none, and the words."""
        words = line.casefold()
        usual = (key for key, label in EXCLUSIONS.items() if label.casefold() in words)
        return [next(usual, ""), line[:200]]

    def write_line(self, stored: Any) -> str:
        """Return the words of a stored exclusion."""
        return str(stored[1])


def exclusions_in_words(rows: Any) -> str:
    """Return stored exclusions as a line tells of them."""
    return "; ".join(str(words) for _, words in rows or ())


class WarrantyForm(ListsForm):
    """The terms, as the contract has them. What it does not say is left open."""

    parent_name: ClassVar[str] = "pavement"
    plain: ClassVar[frozenset[str]] = frozenset(
        {"note", "number", "transfer_rule", "start_on", "ended_early_on", "transfer_noticed_on"}
    )
    ranges: ClassVar[dict[str, tuple[float | None, float | None]]] = {
        "years": (1, 30),
        "notice_days": (0, 3650),
        "transfer_days": (0, 3650),
        "remind_days": (0, 365),
    }
    said = {"exclusions": exclusions_in_words}
    groups = (
        ("Who, and for what", ("number", "document", "contractor", "owner", "given_to", "section")),
        ("How long", ("start_event", "start_on", "years", "ended_early_on", "remind_days")),
        ("What it leaves out, and asks of the owner", ("exclusions", "duties")),
        (
            "How a notice counts",
            (
                "notice_form", "notice_place", "notice_zone", "notice_closes",
                "notice_on_working_days", "notice_days", "holiday_list",
            ),
        ),
        (
            "Sale and dispute",
            ("transfer_rule", "transfer_days", "transfer_noticed_on", "dispute_path"),
        ),
    )  # fmt: skip
    exclusions = ExclusionsField(label="excluded, one a line, with its clause")
    notice_closes = ClockTimeField(label="after this clock it counts later", required=False)

    class Meta:
        model = Warranty
        fields = (
            "number", "document", "contractor", "owner", "given_to", "section", "start_event",
            "start_on", "years", "ended_early_on", "remind_days", "exclusions", "duties",
            "notice_form", "notice_place", "notice_zone", "notice_closes",
            "notice_on_working_days", "notice_days", "holiday_list", "transfer_rule",
            "transfer_days", "transfer_noticed_on", "dispute_path", "note",
        )  # fmt: skip
        help_texts = {
            "start_on": "Leave it open while no start is agreed; then no last day is given.",
            "years": "The last day is the day before that anniversary of the start.",
            "notice_zone": "Such as America/New_York. Left blank: that of the site.",
            "ended_early_on": "only where both agreed to end it earlier",
        }

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        seats = Q(seats__pavement=self.parent.pk)
        placed = Organisation.objects.filter(seats, seats__role="contractor").distinct()
        owned = Organisation.objects.filter(seats, seats__role="owner").distinct()
        self.fields["contractor"].queryset = placed
        self.fields["owner"].queryset = owned
        self.fields["owner"].empty_label = "not on this record"
        sides = Organisation.objects.filter(seats).distinct()
        lists = HolidayList.objects.standing().filter(organisation__in=sides.values("pk"))
        self.fields["holiday_list"].queryset = lists
        self.fields["holiday_list"].empty_label = "none entered yet"

    def clean_notice_zone(self) -> str:
        """Refuse a zone that is none."""
        zone = str(self.cleaned_data.get("notice_zone") or "").strip()
        if zone and zone not in available_timezones():
            raise ValidationError(f"“{zone}” is not a time zone. Write one as America/New_York.")
        return zone

    def clean(self) -> dict[str, Any]:
        """A transfer by notice says within how many days."""
        cleaned = super().clean()
        if cleaned.get("transfer_rule") == "by_notice" and cleaned.get("transfer_days") is None:
            self.add_error("transfer_days", "Say within how many days the notice must be given.")
        return cleaned


class WarrantyPartForm(SiteEntryForm):
    """Panels with a cover of their own."""

    parent_name: ClassVar[str] = "warranty"
    plain: ClassVar[frozenset[str]] = frozenset(
        {"note", "name", "panels_text", "start_on", "ended_early_on", "because"}
    )
    ranges: ClassVar[dict[str, tuple[float | None, float | None]]] = {"years": (1, 30)}
    panel_fields = {"panels_text": "panels"}

    class Meta:
        model = WarrantyPart
        fields = ("name", "panels_text", "start_on", "years", "ended_early_on", "because", "note")
        help_texts = {"panels_text": "C5-C11, D8-D11"}

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["panels_text"].required = True


class WarrantyCoverForm(PartForm):
    """What is covered, from which limit on."""

    parent_name: ClassVar[str] = "warranty"
    plain: ClassVar[frozenset[str]] = frozenset({"note", "subject", "least_severity"})
    quantities: ClassVar[dict[str, Kind]] = {"least_rate_mm_h": Kind.RATE}
    ranges: ClassVar[dict[str, tuple[float | None, float | None]]] = {
        "years": (1, 30),
        "raveled_over_percent": (0, 100),
    }

    class Meta:
        model = WarrantyCover
        fields = (
            "subject", "years", "least_rate_mm_h", "raveled_over_percent", "least_severity",
            "only_if", "note",
        )  # fmt: skip
        help_texts = {"only_if": "such as: only with the cleaning log"}


class AnswerLimitForm(PartForm):
    """Days within which one step is due."""

    parent_name: ClassVar[str] = "warranty"
    plain: ClassVar[frozenset[str]] = frozenset({"note", "clause", "step", "counting", "after"})
    ranges: ClassVar[dict[str, tuple[float | None, float | None]]] = {"days": (0, 3650)}
    to_working_day = forms.BooleanField(
        label="a last day of rest moves to the next working day", required=False
    )

    class Meta:
        model = AnswerLimit
        fields = ("step", "days", "counting", "after", "to_working_day", "clause", "note")
