"""Hours in which a crew may come to a site, may be heard there, or may not come."""

from django.db import models

from registry.clock_hours import write_hours
from registry.models.entry import DatedQuerySet, Entry, from_before_to, void_has_reason


class WindowKind(models.TextChoices):
    """What the hours are for."""

    ACCESS = "access", "crews may come"
    NOISE = "noise", "machines may be heard"
    CLOSED = "closed", "closed to crews"


class SiteWindow(Entry):
    """Hours of the week at a site: rows of [weekday, from, to] in `hours`.

    They hold from a day up to, and not including, another: school days, a market season.
    """

    site = models.ForeignKey("registry.Site", on_delete=models.PROTECT, related_name="windows")
    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, null=True, blank=True, related_name="windows"
    )
    kind = models.CharField("what the hours are for", max_length=6, choices=WindowKind)
    hours = models.JSONField("days and hours", default=list)
    because = models.CharField("because", max_length=160, blank=True)
    from_on = models.DateField("from", null=True, blank=True)
    to_on = models.DateField("to", null=True, blank=True)

    objects = DatedQuerySet.as_manager()

    class Meta:
        ordering = ("kind", "pk")
        constraints = (void_has_reason("site_window"), from_before_to("site_window"))

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.hours_in_words}"

    @property
    def hours_in_words(self) -> str:
        """Return the hours on one line."""
        return "; ".join(write_hours(self.hours))
