"""Rings and their measured inside diameters."""

from django.db import models

from registry.models.choices import ReadingSystem
from registry.models.entry import Entry, void_has_reason
from registry.models.reading_limits import ring_is_within


class Ring(Entry):
    """A test ring of an organisation, with its inside diameter as measured."""

    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="rings"
    )
    name = models.CharField("ring no.", max_length=40)
    system = models.CharField("measured in", max_length=12, choices=ReadingSystem)
    inside_diameter = models.FloatField("inside diameter, in or mm")
    measured_on = models.DateField("measured on", null=True, blank=True)

    class Meta:
        ordering = ("name",)
        constraints = (
            void_has_reason("ring"),
            models.UniqueConstraint(
                fields=("organisation", "name"),
                condition=models.Q(void_at__isnull=True),
                name="ring_name_once_in_an_organisation",
            ),
            models.CheckConstraint(
                name="ring_has_a_diameter", condition=models.Q(inside_diameter__gt=0)
            ),
            models.CheckConstraint(
                name="ring_is_of_a_possible_size",
                condition=models.Q(void_at__isnull=False) | ring_is_within("inside_diameter"),
                violation_error_message="A ring is 50 to 2000 mm (1.97 to 78.7 in) wide.",
            ),
        )

    def __str__(self) -> str:
        return self.name
