"""What really happened in a year: the last sand, the last frost, the leaves down, the first frost.

A dated fact takes the place of the day in the calendar of seasons for that year.
"""

from django.db import models

from registry.models.entry import Entry, void_has_reason

FACTS = {
    "last_sand": "last sand",
    "last_frost": "last frost",
    "leaf_down": "nine tenths of the leaves down",
    "first_frost": "first frost",
}
"""Codes; the words are those of `planning.seasons.Fact`."""


class SeasonDay(Entry):
    """A fact and its day, for all places of an organisation or for those of one climate."""

    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="season_days"
    )
    fact = models.CharField("what", max_length=12, choices=FACTS)
    on = models.DateField("day")
    climate = models.CharField("climate, blank for all", max_length=80, blank=True)

    class Meta:
        ordering = ("-on", "fact", "pk")
        constraints = (
            void_has_reason("season_day"),
            models.UniqueConstraint(
                fields=("organisation", "fact", "on", "climate"),
                condition=models.Q(void_at__isnull=True),
                name="season_day_once",
            ),
        )

    def __str__(self) -> str:
        return f"{self.get_fact_display()} {self.on}"
