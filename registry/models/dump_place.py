"""Dump and decant places: where debris and wash water are left."""

from django.db import models
from django.db.models import Q

from registry.models.crew_place import CrewPlace, rules_of_place


class DumpPlace(CrewPlace):
    """A place that takes debris; with `takes_wash_water` a wet load too."""

    takes_wash_water = models.BooleanField("takes wash water (decant)", default=False)
    unloading_min = models.FloatField("minutes to unload", null=True, blank=True)
    permit = models.CharField("permit no.", max_length=120, blank=True)

    class Meta(CrewPlace.Meta):
        constraints = (
            *rules_of_place("dump_place"),
            models.CheckConstraint(
                name="dump_place_takes_time",
                condition=Q(unloading_min__isnull=True) | Q(unloading_min__gt=0),
            ),
        )
