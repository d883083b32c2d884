"""The form of what really happened in a year."""

from typing import ClassVar

from registry.forms.entry import PartForm
from registry.models import SeasonDay


class SeasonDayForm(PartForm):
    """The last sand, last frost, leaves down or first frost, and its day."""

    parent_name: ClassVar[str] = "organisation"
    plain: ClassVar[frozenset[str]] = frozenset({"note", "climate", "fact", "on"})

    class Meta:
        model = SeasonDay
        fields = ("fact", "on", "climate", "note")
        help_texts = {
            "on": "the day on which it was so; it takes the place of the calendar's for that year"
        }
