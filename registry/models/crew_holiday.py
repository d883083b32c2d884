"""Days on which no crew, or one crew, goes out."""

from django.core.exceptions import ValidationError
from django.db import models

from registry.models.entry import Entry, void_has_reason


class CrewHoliday(Entry):
    """From a first to a last day, both included. It is for all crews where it names none."""

    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="crew_holidays"
    )
    crew = models.ForeignKey(
        "registry.Crew", on_delete=models.PROTECT, null=True, blank=True, related_name="holidays"
    )
    first_on = models.DateField("first day")
    last_on = models.DateField("last day")
    because = models.CharField("holiday, leave, repair of the machine", max_length=160)

    class Meta:
        ordering = ("first_on", "pk")
        constraints = (
            void_has_reason("crew_holiday"),
            models.CheckConstraint(
                name="crew_holiday_ends_after_it_begins",
                condition=models.Q(last_on__gte=models.F("first_on")),
            ),
        )

    def __str__(self) -> str:
        return f"{self.because}, {self.first_on}"

    def clean(self) -> None:
        """Refuse a crew of another organisation."""
        if self.crew is not None and self.crew.organisation_id != self.organisation_id:
            raise ValidationError("The crew belongs to another organisation.")
