"""How often a permit, contract or house rule asks for cleaning: "twice a year"."""

from django.db import models
from django.db.models import F, Q
from django.db.models.lookups import LessThanOrEqual

from registry.models.cleaning import CleaningMethod
from registry.models.entry import DatedQuerySet, Entry, from_before_to, void_has_reason


class PermitMinimum(Entry):
    """So many cleanings in each permit year, from and to a day, by a document.

    `methods` are codes of CleaningMethod that count; none named: every one that takes dirt out of
    the surface. Two cleanings closer together than `days_between` count as one.
    """

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="permit_minimums"
    )
    set_by = models.CharField("set by", max_length=160)
    source_document = models.CharField("permit, contract or house rule", max_length=200)
    times = models.PositiveSmallIntegerField("cleanings a year", default=2)
    begins_month = models.PositiveSmallIntegerField("year begins, month", default=1)
    begins_day = models.PositiveSmallIntegerField("year begins, day", default=1)
    days_between = models.PositiveSmallIntegerField("least days between two", default=30)
    methods = models.JSONField("methods that count", default=list, blank=True)
    from_on = models.DateField("from", null=True, blank=True)
    to_on = models.DateField("to", null=True, blank=True)

    objects = DatedQuerySet.as_manager()

    class Meta:
        ordering = ("from_on", "pk")
        constraints = (
            void_has_reason("permit_minimum"),
            from_before_to("permit_minimum"),
            models.CheckConstraint(
                name="permit_minimum_fits_into_a_year",
                condition=Q(times__range=(1, 52), days_between__range=(0, 365))
                & Q(LessThanOrEqual(F("times") * F("days_between"), 365)),
            ),
            models.CheckConstraint(
                name="permit_minimum_year_begins_in_the_year",
                condition=Q(begins_month__range=(1, 12), begins_day__range=(1, 31)),
            ),
        )

    def __str__(self) -> str:
        return f"{self.times} a year by {self.source_document}"

    @property
    def methods_in_words(self) -> str:
        """Return the methods that count, in words; empty where all do."""
        return ", ".join(str(CleaningMethod(code).label) for code in self.methods)
