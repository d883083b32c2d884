"""The form of a crew."""

from typing import Any

from registry.forms.hours import (
    BreaksField,
    HoursField,
    ListsForm,
    WordsField,
    breaks_in_words,
    hours_in_words,
    words_in_words,
)
from registry.models import Crew, Depot, Machine


class CrewForm(ListsForm):
    """A crew with its machine, depot, shifts, breaks and licences."""

    ranges = {"people": (1, 50), "licence_hours": (0, 24)}
    said = {"shifts": hours_in_words, "breaks": breaks_in_words, "licences": words_in_words}
    groups = (
        ("Who and with what", ("name", "people", "machine", "depot")),
        ("When", ("shifts", "breaks", "licence_hours")),
        ("What they may do", ("licences",)),
    )
    shifts = HoursField(
        label="working days and shift",
        help_text="One span a line: Mon-Fri 07:00-15:30. A day that is not named is free.",
    )
    breaks = BreaksField(label="breaks", help_text="One a line: 12:00-12:30.")
    licences = WordsField(label="licences held", help_text="One a line, in your own words.")

    class Meta:
        model = Crew
        fields = (
            "name", "people", "machine", "depot", "shifts", "breaks", "licence_hours",
            "licences", "note",
        )  # fmt: skip

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        for name, model in (("machine", Machine), ("depot", Depot)):
            rows = model.objects.standing().filter(organisation=self.parent.pk)
            self.fields[name].queryset = rows
            self.fields[name].empty_label = "not chosen yet"

    def clean(self) -> dict[str, Any]:
        """Refuse two shifts on one day of the week: which of them is it?"""
        cleaned = super().clean()
        days = [row[0] for row in cleaned.get("shifts") or ()]
        if len(set(days)) < len(days):
            self.add_error("shifts", "One shift a day; write what lies between as a break.")
        return cleaned
