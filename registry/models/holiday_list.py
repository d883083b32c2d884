"""Holiday lists: the days on which a contract does not count working days."""

from django.db import models
from django.db.models import Q

from registry.models.entry import Entry, void_has_reason


class HolidayList(Entry):
    """`days` is a list of [ISO date, name]; `rest_days` of weekdays without work, Monday 0."""

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
