"""The form of days on which a crew, or all, stays in."""

from typing import Any

from registry.forms.entry import PartForm
from registry.models import Crew, CrewHoliday


class CrewHolidayForm(PartForm):
    """A holiday, leave, or a machine in repair; from a first to a last day."""

    parent_name = "organisation"
    plain = frozenset({"note", "because"})

    class Meta:
        model = CrewHoliday
        fields = ("because", "first_on", "last_on", "crew", "note")

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["crew"].queryset = Crew.objects.standing().filter(organisation=self.parent.pk)
        self.fields["crew"].empty_label = "all crews"

    def clean(self) -> dict[str, Any]:
        """Refuse days in the wrong order."""
        cleaned = super().clean()
        first, last = cleaned.get("first_on"), cleaned.get("last_on")
        if first and last and last < first:
            self.add_error("last_on", "The last day is the first, or after it.")
        return cleaned
