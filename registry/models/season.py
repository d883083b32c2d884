"""The calendar of seasons: when which method makes sense, by climate; each can be edited."""

from django.db import models
from django.db.models import Q

from registry.models.cleaning import CleaningMethod
from registry.models.entry import Entry, void_has_reason
from registry.models.season_day import FACTS


class Season(Entry):
    """A span of the year, from a month and day to a month and day, both included.

    One that ends before it begins runs over the new year. `methods` are codes of CleaningMethod
    that are for this season, `methods_not` those that are not; a method in neither is left open.
    In a year in which it is dated (`SeasonDay`), it begins on the day after the latest of the facts
    in `begins_after`, or with that of `begins_at`, and ends with the latest of `ends_at`.
    """

    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="seasons"
    )
    climate = models.CharField("climate", max_length=80, default="cold, wet, leafy")
    name = models.CharField("season", max_length=80)
    from_month = models.PositiveSmallIntegerField("from, month")
    from_day = models.PositiveSmallIntegerField("from, day")
    to_month = models.PositiveSmallIntegerField("to, month")
    to_day = models.PositiveSmallIntegerField("to, day")
    begins_after = models.JSONField("begins on the day after", default=list, blank=True)
    begins_at = models.JSONField("begins with", default=list, blank=True)
    ends_at = models.JSONField("ends with", default=list, blank=True)
    methods = models.JSONField("methods for this season", default=list, blank=True)
    methods_not = models.JSONField("methods not in this season", default=list, blank=True)
    to_do = models.CharField("do", max_length=300, blank=True)
    not_to_do = models.CharField("do not", max_length=300, blank=True)
    reason = models.CharField("reason", max_length=300, blank=True)

    class Meta:
        ordering = ("climate", "from_month", "from_day", "pk")
        constraints = (
            void_has_reason("season"),
            models.CheckConstraint(
                name="season_is_of_the_year",
                condition=Q(from_month__range=(1, 12), to_month__range=(1, 12))
                & Q(from_day__range=(1, 31), to_day__range=(1, 31)),
            ),
        )

    def __str__(self) -> str:
        return f"{self.name}, {self.span}"

    @property
    def span(self) -> str:
        """Return the span as it is written: 03-01 to 04-30."""
        begin = f"{self.from_month:02d}-{self.from_day:02d}"
        return f"{begin} to {self.to_month:02d}-{self.to_day:02d}"

    @property
    def moved_in_words(self) -> str:
        """Return what moves its first and last day, in words."""
        said = (
            ("begins after", self.begins_after), ("begins with", self.begins_at),
            ("ends with", self.ends_at),
        )  # fmt: skip
        return "; ".join(
            f"{how} {', '.join(FACTS[c] for c in codes)}" for how, codes in said if codes
        )

    @property
    def methods_in_words(self) -> str:
        """Return the methods for this season, in words."""
        return ", ".join(str(CleaningMethod(code).label) for code in self.methods)

    @property
    def methods_not_in_words(self) -> str:
        """Return the methods that are not for this season, in words."""
        return ", ".join(str(CleaningMethod(code).label) for code in self.methods_not)
