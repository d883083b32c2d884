"""Sections: parts of a pavement with their own thickness, mix, base, criteria or opening date."""

from django.db import models

from registry.models.entry import DatedQuerySet, Entry, from_before_to, void_has_reason


class Section(Entry):
    """A part of a pavement, from and to a day."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="sections"
    )
    name = models.CharField("name of the section", max_length=80)
    area_m2 = models.FloatField("area", null=True, blank=True)
    thickness_mm = models.FloatField("thickness", null=True, blank=True)
    mix = models.CharField("mix", max_length=120, blank=True)
    placed_on = models.DateField("placed on", null=True, blank=True)
    opened_to_feet_on = models.DateField("opened to feet", null=True, blank=True)
    opened_to_wheels_on = models.DateField("opened to wheels", null=True, blank=True)
    from_on = models.DateField("from", null=True, blank=True)
    to_on = models.DateField("to", null=True, blank=True)

    objects = DatedQuerySet.as_manager()

    class Meta:
        ordering = ("name",)
        constraints = (void_has_reason("section"), from_before_to("section"))

    def __str__(self) -> str:
        return self.name
