"""The structure below a pavement: layers, underdrain, soil, slope, wells, overflow."""

from django.db import models
from django.db.models import Q

from registry.models.entry import DatedQuerySet, Entry, from_before_to, void_has_reason


class Structure(Entry):
    """What lies below a pavement, from and to a day. Depths in mm, soil rate in mm/h."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="structures"
    )
    section = models.ForeignKey(
        "registry.Section",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="structures",
    )
    geotextile = models.CharField(
        "geotextile",
        max_length=6,
        blank=True,
        choices={"none": "none", "sides": "sides", "bottom": "bottom", "both": "both"},
    )
    liner = models.CharField(
        "liner",
        max_length=6,
        blank=True,
        choices={"none": "none", "sides": "sides", "bottom": "bottom", "both": "both"},
    )
    underdrain = models.CharField(
        "underdrain", max_length=3, blank=True, choices={"yes": "yes", "no": "none"}
    )
    underdrain_diameter_mm = models.FloatField("underdrain diameter", null=True, blank=True)
    underdrain_above_bottom_mm = models.FloatField("height above bottom", null=True, blank=True)
    underdrain_outlet = models.CharField("outlet place", max_length=160, blank=True)
    orifice_mm = models.FloatField("orifice", null=True, blank=True)
    cleanouts = models.CharField("cleanouts", max_length=160, blank=True)
    soil_group = models.CharField(
        "hydrologic soil group", max_length=1, blank=True, choices={g: g for g in "ABCD"}
    )
    soil_rate_mm_h = models.FloatField("tested soil rate", null=True, blank=True)
    soil_tested_on = models.DateField("soil tested on", null=True, blank=True)
    soil_method = models.CharField("method of the soil test", max_length=120, blank=True)
    surface_slope_percent = models.FloatField("slope of the surface, %", null=True, blank=True)
    bottom_slope_percent = models.FloatField("slope of the bottom, %", null=True, blank=True)
    check_dams = models.PositiveIntegerField("check dams", null=True, blank=True)
    overflow_below_surface_mm = models.FloatField("overflow, below surface", null=True, blank=True)
    overflow_goes_to = models.CharField("overflow goes to", max_length=160, blank=True)
    from_on = models.DateField("from", null=True, blank=True)
    to_on = models.DateField("to", null=True, blank=True)

    objects = DatedQuerySet.as_manager()

    class Meta:
        constraints = (void_has_reason("structure"), from_before_to("structure"))

    def __str__(self) -> str:
        return f"structure below {self.pavement}"


class Layer(models.Model):
    """One layer of the structure. Void ratio is 0.40 unless measured, and says which."""

    structure = models.ForeignKey(Structure, on_delete=models.CASCADE, related_name="layers")
    kind = models.CharField(
        "layer",
        max_length=8,
        choices={
            "surface": "surface course",
            "choker": "choker",
            "base": "base",
            "subbase": "subbase",
        },
    )
    depth_mm = models.FloatField("depth", null=True, blank=True)
    stone_size = models.CharField("stone size", max_length=60, blank=True)
    void_ratio = models.FloatField("void ratio", default=0.40)
    void_ratio_is_measured = models.BooleanField("void ratio was measured", default=False)

    class Meta:
        constraints = (
            models.CheckConstraint(
                name="layer_void_ratio_is_a_share",
                condition=Q(void_ratio__gt=0, void_ratio__lt=1),
            ),
        )

    def __str__(self) -> str:
        return self.get_kind_display()


class ObservationWell(Entry):
    """A pipe down to the bottom of the base in which the water is read."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="wells"
    )
    name = models.CharField("well", max_length=40)
    place = models.CharField("place", max_length=80, blank=True)
    depth_mm = models.FloatField("depth", null=True, blank=True)
    cap = models.CharField("cap", max_length=80, blank=True)

    class Meta:
        constraints = (void_has_reason("well"),)

    def __str__(self) -> str:
        return self.name
