"""Water points: where a tank is filled, and by which permit."""

from django.db import models
from django.db.models import Q

from registry.models.crew_place import CrewPlace, rules_of_place


class WaterPoint(CrewPlace):
    """A hydrant or tap. A permit holds from a day to a day, both included."""

    owner = models.CharField("owner", max_length=160, blank=True)
    permit = models.CharField("permit no.", max_length=120, blank=True)
    permit_from_on = models.DateField("permit from", null=True, blank=True)
    permit_last_on = models.DateField("permit's last day", null=True, blank=True)
    flow_l_min = models.FloatField("flow a minute", null=True, blank=True)
    filling_min = models.FloatField("minutes to fill", null=True, blank=True)

    class Meta(CrewPlace.Meta):
        constraints = (
            *rules_of_place("water_point"),
            models.CheckConstraint(
                name="water_point_gives_water",
                condition=(Q(flow_l_min__isnull=True) | Q(flow_l_min__gt=0))
                & (Q(filling_min__isnull=True) | Q(filling_min__gt=0)),
            ),
            models.CheckConstraint(
                name="water_point_permit_ends_after_it_begins",
                condition=Q(permit_last_on__isnull=True)
                | Q(permit_from_on__isnull=True)
                | Q(permit_last_on__gte=models.F("permit_from_on")),
            ),
        )
