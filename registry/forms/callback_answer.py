"""Forms of the written answer and of a settlement's lines."""

from typing import Any, ClassVar

from django import forms
from django.core.exceptions import ValidationError

from registry.forms.callback import SharesField, shares_in_words
from registry.forms.open_fields import LinesField
from registry.forms.site_entry import SiteEntryForm
from registry.models import CallbackAnswer, SettlementLine


class DeclinedField(LinesField):
    """Panels declined, "D7: clause 4, plow" one a line."""

    def read_line(self, line: str) -> list[str]:
        """Return the panels and the clause."""
        panels, _, clause = line.partition(":")
        if not clause.strip():
            raise ValidationError("Say by which clause and why: D7: clause 4, plow.")
        return [panels.strip(), clause.strip()[:200]]

    def write_line(self, stored: Any) -> str:
        """Return the line of what is stored."""
        return ": ".join(stored)


def declined_in_words(rows: Any) -> str:
    """Return what is declined as a line tells of it."""
    return "; ".join(": ".join(row) for row in rows or ())


class CallbackAnswerForm(SiteEntryForm):
    """Which panels are accepted, which declined by which clause, what is done by when."""

    parent_name: ClassVar[str] = "callback"
    plain: ClassVar[frozenset[str]] = frozenset(
        {
            "note", "kind", "answered_on", "accepted_text", "goodwill", "evidence_wanted",
            "evidence_by", "remedy", "remedy_by", "may_dispute_by", "text", "signed_by",
        }
    )  # fmt: skip
    panel_fields = {"accepted_text": "accepted_panels"}
    said = {"declined": declined_in_words}
    declined = DeclinedField(label="declined, one a line, with clause and reason")

    class Meta:
        model = CallbackAnswer
        fields = (
            "kind", "answered_on", "accepted_text", "declined", "goodwill", "evidence_wanted",
            "evidence_by", "remedy", "remedy_by", "may_dispute_by", "text", "signed_by", "note",
        )  # fmt: skip
        help_texts = {"accepted_text": "C5-C11", "may_dispute_by": "as the terms say"}

    def clean(self) -> dict[str, Any]:
        """An answer says what it has to say for its kind."""
        cleaned = super().clean()
        kind = cleaned.get("kind")
        if kind in ("declined", "accepted_in_part") and not cleaned.get("declined"):
            self.add_error("declined", "Say which panels are declined, by which clause and why.")
        if kind == "evidence_asked" and not cleaned.get("evidence_wanted"):
            self.add_error("evidence_wanted", "Say what is asked for.")
        if kind == "goodwill" and not cleaned.get("goodwill"):
            self.add_error("goodwill", "Say what is given.")
        return cleaned


class SettlementLineForm(SiteEntryForm):
    """Panels, area, price and shares of one line."""

    parent_name: ClassVar[str] = "callback"
    plain: ClassVar[frozenset[str]] = frozenset(
        {
            "note",
            "panels_text",
            "area_unit",
            "unit_price",
            "currency",
            "share_percents",
            "agreed_on",
        }
    )
    ranges: ClassVar[dict[str, tuple[float | None, float | None]]] = {"area": (0, None)}
    panel_fields = {"panels_text": "panels"}
    said = {"share_percents": shares_in_words}
    share_percents = SharesField(label="shares, %", help_text="contractor 25, owner 75")
    unit_price = forms.DecimalField(
        label="price per unit", max_digits=10, decimal_places=2, min_value=0
    )

    class Meta:
        model = SettlementLine
        fields = (
            "panels_text", "area", "area_unit", "unit_price", "currency", "share_percents",
            "agreed_on", "note",
        )  # fmt: skip
        help_texts = {"panels_text": "D8-D11", "currency": "as agreed: $, CAD, EUR"}

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["panels_text"].required = True
        self.fields["currency"].required = True
