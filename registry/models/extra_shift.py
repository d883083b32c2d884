"""Shifts on single days instead of the week's: overtime, an early start."""

from django.core.exceptions import ValidationError
from django.db import models

from registry.models.entry import Entry, void_has_reason


class ExtraShift(Entry):
    """A shift of one crew on one day; clock times are those at the depot."""

    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="extra_shifts"
    )
    crew = models.ForeignKey("registry.Crew", on_delete=models.PROTECT, related_name="extra_shifts")
    on = models.DateField("day")
    from_clock = models.TimeField("from")
    to_clock = models.TimeField("to")
    because = models.CharField("why", max_length=160, blank=True)

    class Meta:
        ordering = ("on", "pk")
        constraints = (
            void_has_reason("extra_shift"),
            models.UniqueConstraint(
                fields=("crew", "on"),
                condition=models.Q(void_at__isnull=True),
                name="extra_shift_once_a_day",
            ),
        )

    def __str__(self) -> str:
        return f"{self.on} {self.from_clock:%H:%M}-{self.to_clock:%H:%M}"

    def clean(self) -> None:
        """Refuse a crew of another organisation."""
        if self.crew_id and self.crew.organisation_id != self.organisation_id:
            raise ValidationError("The crew belongs to another organisation.")
