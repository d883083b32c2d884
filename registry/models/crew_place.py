"""What a depot, a dump place and a water point have in common."""

from typing import Any

from django.db import models

from registry.clock_hours import write_hours
from registry.models.entry import Entry, void_has_reason
from registry.models.position import whole_position


class CrewPlace(Entry):
    """A place of an organisation to which its crews drive.

    `hours` are rows of [weekday, from, to]; none mean that nobody set any.
    """

    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="%(class)ss"
    )
    name = models.CharField("name", max_length=120)
    address = models.CharField("address", max_length=240, blank=True)
    lon = models.FloatField("longitude", null=True, blank=True)
    lat = models.FloatField("latitude", null=True, blank=True)
    hours = models.JSONField("open, days and hours", default=list, blank=True)

    class Meta:
        abstract = True
        ordering = ("name", "pk")

    def __str__(self) -> str:
        return self.name

    @property
    def hours_in_words(self) -> str:
        """Return the hours on one line, or an empty string where none were set."""
        return "; ".join(write_hours(self.hours))


def rules_of_place(name: str) -> tuple[Any, ...]:
    """Return the constraints that each kind of place keeps."""
    return (
        void_has_reason(name),
        whole_position(f"{name}_position_is_whole_and_on_earth", "lon", "lat"),
        models.UniqueConstraint(
            fields=("organisation", "name"),
            condition=models.Q(void_at__isnull=True),
            name=f"{name}_name_once_in_an_organisation",
        ),
    )
