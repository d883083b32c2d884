"""Weather on a placing day: at least hourly, and at each load."""

from zoneinfo import ZoneInfo

from django.db import models
from django.db.models import Q

from registry.models.choices import ReadingSystem
from registry.models.entry import Entry, void_has_reason


class WeatherSource(models.TextChoices):
    """Where a reading of the weather comes from."""

    METER = "meter", "own meter"
    STATION = "station", "station"
    EYE = "eye", "by eye"


class WeatherReading(Entry):
    """One reading. Degrees Celsius, humidity in percent, wind km/h 0.5 m (20 in) up.

    `system` is the one it was read in: the form of the evaporation follows from it.
    """

    placing_day = models.ForeignKey(
        "registry.PlacingDay", on_delete=models.PROTECT, related_name="weather"
    )
    load = models.ForeignKey(
        "registry.Load",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="weather",
        verbose_name="at load",
    )
    system = models.CharField("units of the reading", max_length=10, choices=ReadingSystem)
    at = models.DateTimeField("clock")
    air_c = models.FloatField("air", null=True, blank=True)
    humidity_percent = models.FloatField("relative humidity, %", null=True, blank=True)
    wind_km_h = models.FloatField("wind 20 in above the surface", null=True, blank=True)
    sky = models.CharField(
        "sky",
        max_length=5,
        blank=True,
        choices={"sun": "sun", "cloud": "cloud", "shade": "shade"},
    )
    concrete_c = models.FloatField("concrete", null=True, blank=True)
    read_with = models.CharField("read with", max_length=7, choices=WeatherSource, blank=True)
    station = models.CharField("station and distance", max_length=120, blank=True)

    class Meta:
        ordering = ("at", "pk")
        constraints = (
            void_has_reason("weather_reading"),
            models.CheckConstraint(
                name="weather_reading_humidity_0_to_100",
                condition=Q(humidity_percent__isnull=True) | Q(humidity_percent__range=(0, 100)),
            ),
            models.CheckConstraint(
                name="weather_reading_wind_is_not_below_0",
                condition=Q(wind_km_h__isnull=True) | Q(wind_km_h__gte=0),
            ),
        )

    def __str__(self) -> str:
        zone = ZoneInfo(self.placing_day.pavement.site.time_zone)
        return f"weather at {self.at.astimezone(zone):%H:%M}"
