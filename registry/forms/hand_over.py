"""The form of a hand-over certificate."""

from typing import Any, ClassVar

from django.core.exceptions import ValidationError
from django.db.models import QuerySet

from registry.forms.open_fields import LinesField
from registry.forms.site_entry import SiteEntryForm
from registry.models import HandOver


class OpenThingsField(LinesField):
    """What is open and what becomes of it, "work order 12: goes to the taker" one a line."""

    def read_line(self, line: str) -> list[str]:
        """Return the thing and what becomes of it."""
        what, _, becomes = line.rpartition(": ")
        if not what:
            raise ValidationError("Say what becomes of it: goes to the taker, ended, stays until.")
        return [what.strip()[:200], becomes.strip()[:120]]

    def write_line(self, stored: Any) -> str:
        """Return the line of a stored thing."""
        return ": ".join(stored)


def things_in_words(rows: Any) -> str:
    """Return what is open as a line tells of it."""
    return "; ".join(": ".join(row) for row in rows or ())


class HandOverForm(SiteEntryForm):
    """From whom to whom, at which hour, by which deed; what is open; duties; what is not known."""

    parent_name: ClassVar[str] = "pavement"
    plain: ClassVar[frozenset[str]] = frozenset(
        {"note", "number", "giver_name", "taker_name", "by_deed", "care_duties", "not_known",
         "copies", "statement_signed_by"}
    )  # fmt: skip
    said = {"open_things": things_in_words}
    groups = (
        ("From whom to whom", ("number", "is_first", "giver_name", "taker", "taker_name")),
        ("When, by what", ("effective_at", "by_deed", "taker_walked")),
        ("What is open, and becomes of it", ("open_things",)),
        ("Care", ("care_duties", "statement_signed_by")),
        ("Not known, and copies", ("not_known", "copies")),
    )
    open_things = OpenThingsField(
        label="open things, one a line",
        help_text="work order 12: goes to the taker",
        max_length=20_000,
    )

    class Meta:
        model = HandOver
        fields = (
            "number", "is_first", "giver_name", "taker", "taker_name", "effective_at", "by_deed",
            "taker_walked", "open_things", "care_duties", "statement_signed_by", "not_known",
            "copies", "note",
        )  # fmt: skip
        help_texts = {
            "effective_at": "date and hour, 2023-09-15 12:00",
            "is_first": "From its hour on the owner’s side reads the placing record.",
        }

    def __init__(self, *args: Any, takers: QuerySet, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["taker"].queryset = takers
