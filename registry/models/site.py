"""Sites: the ground a pavement lies on, its ways in and its rules."""

from django.db import models

from registry.models.entry import Entry, void_has_reason
from registry.models.position import whole_position


class Site(Entry):
    """A place with one address and one local time. Nothing is ever matched by its name."""

    organisation = models.ForeignKey(
        "registry.Organisation",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="sites",
    )
    name = models.CharField("name of the site", max_length=160)
    other_names = models.JSONField("other names, and who uses them", default=list, blank=True)
    address = models.CharField("address", max_length=240, blank=True)
    entrance = models.CharField("entrance for crews", max_length=240, blank=True)
    time_zone = models.CharField("local time", max_length=60)
    climate = models.CharField("climate, as the calendar names it", max_length=80, blank=True)
    lon = models.FloatField("longitude", null=True, blank=True)
    lat = models.FloatField("latitude", null=True, blank=True)
    access_hours = models.CharField("access, days and hours", max_length=200, blank=True)
    noise_hours = models.CharField("noise allowed, days and hours", max_length=200, blank=True)
    gate = models.CharField("gate and keys", max_length=200, blank=True)
    clearance_m = models.FloatField("clearance height", null=True, blank=True)
    way_in_width_m = models.FloatField("narrowest way in", null=True, blank=True)
    turning_m = models.FloatField("room to turn", null=True, blank=True)
    hose_m = models.FloatField("hose needed to reach", null=True, blank=True)
    heaviest_axle_kg = models.FloatField("heaviest axle allowed", null=True, blank=True)
    way_in_axle_kg = models.FloatField(
        "heaviest axle on the way in, where it is another", null=True, blank=True
    )
    water_point = models.CharField("water point, owner, permit no.", max_length=240, blank=True)
    water_flow_l_min = models.FloatField("flow of the water point", null=True, blank=True)
    dump_place = models.CharField("dump and decant place, hours", max_length=240, blank=True)
    dump_distance_m = models.FloatField("way to the dump place", null=True, blank=True)
    notice_h = models.FloatField("notice needed to clear cars, hours", null=True, blank=True)
    tow_rule = models.CharField("tow rule", max_length=200, blank=True)

    class Meta:
        constraints = (
            void_has_reason("site"),
            whole_position("site_position_is_whole_and_on_earth", "lon", "lat"),
        )

    def __str__(self) -> str:
        return self.name

    @property
    def axle_limit_kg(self) -> float | None:
        """Return what an axle must keep to that goes in and over the slab: the lower of both."""
        limits = (self.heaviest_axle_kg, self.way_in_axle_kg)
        return min((limit for limit in limits if limit is not None), default=None)
