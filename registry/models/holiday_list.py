"""Holiday lists: the days on which a contract does not count working days."""

from collections.abc import Iterable

from django.db import models
from django.db.models import Q

from registry.models.entry import Entry, void_has_reason

WEEK = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
NO_DAY_OF_REST = 7
"""Stands alone in `rest_days` where the contract has no weekly day of rest: work on all seven."""
REST_CHOICES = (*enumerate(WEEK), (NO_DAY_OF_REST, "no weekly day of rest"))


def rest_in_words(days: Iterable[int] | None) -> str:
    """Return stored days of rest in words."""
    words = dict(REST_CHOICES)
    return ", ".join(words[int(day)] for day in days or ()) or "not said"


class HolidayList(Entry):
    """`days` is a list of [ISO date, name]; `rest_days` of weekdays without work, Monday 0.

    Empty `rest_days` mean that nobody has said: then no working day is counted.
    """

    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="holiday_lists"
    )
    name = models.CharField("name", max_length=120)
    days = models.JSONField("holidays", default=list, blank=True)
    rest_days = models.JSONField("days of rest in the week", default=list, blank=True)

    class Meta:
        ordering = ("name", "pk")
        constraints = (
            void_has_reason("holiday_list"),
            models.UniqueConstraint(
                fields=("organisation", "name"),
                condition=Q(void_at__isnull=True, double_of__isnull=True),
                name="holiday_list_name_once",
            ),
        )

    def __str__(self) -> str:
        return self.name

    @property
    def weekly_rest(self) -> frozenset[int] | None:
        """Return the weekdays without work, none at all included; None where nobody has said."""
        return frozenset(self.rest_days) - {NO_DAY_OF_REST} if self.rest_days else None

    @property
    def rest_said(self) -> str:
        """Return the weekly days of rest in words."""
        return rest_in_words(self.rest_days)
