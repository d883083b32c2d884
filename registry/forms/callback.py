"""Forms of a callback: the notice as it came, and what is put to it."""

from decimal import Decimal
from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from registry.forms.entry import PartForm
from registry.forms.site_entry import SiteEntryForm
from registry.models import AgreedDate, Callback, CallbackNote, ThirdParty
from registry.models.callback_note import NoteKind


class CallbackForm(SiteEntryForm):
    """The message as received, its clock, what is claimed."""

    parent_name: ClassVar[str] = "pavement"
    plain: ClassVar[frozenset[str]] = frozenset(
        {"note", "number", "claim", "as_received", "panels_text", "discovered_on", "not_known"}
    )
    panel_fields = {"panels_text": "panels"}
    groups = (
        ("What came in", ("number", "claim", "as_received", "received_at", "came_by")),
        ("Who claims what", ("claimed_by", "warranty", "panels_text", "extent", "first_seen")),
        ("When it was found, and how it presses", ("discovered_on", "is_urgent", "urgent_why")),
        ("Terms", ("excluded_on_its_face", "clauses_argued", "not_known")),
    )

    class Meta:
        model = Callback
        fields = (
            "number", "claim", "as_received", "received_at", "came_by", "claimed_by", "warranty",
            "panels_text", "extent", "first_seen", "discovered_on", "is_urgent", "urgent_why",
            "excluded_on_its_face", "clauses_argued", "not_known", "note",
        )  # fmt: skip
        help_texts = {
            "as_received": "Word for word: it is evidence.",
            "received_at": "day and clock at which it came in, 2024-04-26 17:42",
            "panels_text": "C4-C11, D7-D11, B11; the whole: leave it open",
            "is_urgent": "A trip hazard is made safe the same day.",
        }

    def __init__(self, *args: Any, warranties: QuerySet, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["warranty"].queryset = warranties
        self.fields["warranty"].empty_label = "none is known"
        if not self.is_correction:
            self.fields["received_at"].required = True


class CallbackNoteForm(SiteEntryForm):
    """A letter, a call, an event, or a note kept inside one's own firm."""

    parent_name: ClassVar[str] = "callback"
    plain: ClassVar[frozenset[str]] = frozenset({"note", "kind", "who", "text", "happened_on"})

    class Meta:
        model = CallbackNote
        fields = ("kind", "happened_on", "happened_at", "who", "text")
        help_texts = {
            "kind": "A note kept inside is seen by your own organisation alone.",
            "happened_at": "clock, if it matters: 2024-04-26 17:42",
        }

    def clean(self) -> dict[str, Any]:
        """What is kept inside stays so, and what is shared stays shared."""
        cleaned = super().clean()
        was, now = self.before.get("kind"), cleaned.get("kind")
        if self.is_correction and NoteKind.INSIDE in (was, now) and was != now:
            self.add_error("kind", "Void this note and write it anew: what one side sees stays so.")
        return cleaned

    def _check_constraints(self) -> None:
        # Whose note it is follows from who writes it, once the form is valid; the action checks.
        if self.is_correction:
            super()._check_constraints()

    def keep_inside_of(self, organisation: Any) -> None:
        """Say whose note it is, where it is kept inside."""
        if self.cleaned_data.get("kind") == NoteKind.INSIDE:
            self.instance.inside_of = organisation


class SharesField(forms.CharField):
    """Shares, "contractor 25, owner 75": percents that add up to 100; cleans to pairs."""

    def clean(self, value: Any) -> list[list[str]]:
        """Read the pairs."""
        text = super().clean(value)
        if not text:
            return []
        rows = []
        for part in filter(None, (part.strip() for part in text.replace(";", ",").split(","))):
            name, _, percent = part.rstrip("% ").rpartition(" ")
            if not name or not percent.replace(".", "", 1).isdecimal():
                raise ValidationError(f"“{part}”: write a party and its percent, contractor 25.")
            rows.append([name.strip(), percent])
        if (total := sum(Decimal(percent) for _, percent in rows)) != 100:
            read = ", ".join(f"{name} {percent}" for name, percent in rows)
            raise ValidationError(f"The shares have to add up to 100 %: {read} is {total} %.")
        return rows

    def prepare_value(self, value: Any) -> Any:
        """Show stored shares as they are written."""
        if isinstance(value, list):
            return ", ".join(f"{name} {percent}" for name, percent in value)
        return value


def shares_in_words(rows: Any) -> str:
    """Return stored shares as a line tells of them."""
    return ", ".join(f"{name} {percent} %" for name, percent in rows or ())


class ThirdPartyForm(PartForm):
    """Who was asked, by whom, what, and what came of it."""

    parent_name: ClassVar[str] = "callback"
    plain: ClassVar[frozenset[str]] = frozenset(
        {"note", "name", "named_on", "reported_on", "question", "report", "cost_shares"}
    )
    cost_shares = SharesField(
        label="shares of the cost", required=False, help_text="contractor 50, owner 50"
    )

    class Meta:
        model = ThirdParty
        fields = (
            "name", "named_by", "named_on", "question", "samples", "reported_on", "report",
            "cost_shares", "note",
        )  # fmt: skip

    def _line(self, name: str, old: Any) -> tuple[str, str]:
        if name == "cost_shares":
            return shares_in_words(old), shares_in_words(self.cleaned_data[name])
        return super()._line(name, old)


class ConfirmDateForm(forms.Form):
    """The signature of the other side under a date; `due_on` is the date that stood before it."""

    due_on = forms.DateField(widget=forms.HiddenInput)
    signed_by = forms.CharField(label="signed by", max_length=120)


class AgreedDateForm(PartForm):
    """A date that both signed, as one side says."""

    parent_name: ClassVar[str] = "callback"
    plain: ClassVar[frozenset[str]] = frozenset({"note", "step", "due_on", "signed_on", "because"})

    class Meta:
        model = AgreedDate
        fields = ("step", "due_on", "signed_on", "because")

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["signed_on"].required = True
