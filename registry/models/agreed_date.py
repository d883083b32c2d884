"""Dates that both sides signed in place of a counted one. Both stay to be seen."""

from django.db import models
from django.db.models import Q

from registry.models.entry import Entry, void_has_reason
from registry.models.warranty import Step


class AgreedDate(Entry):
    """A new date for one step of a callback."""

    callback = models.ForeignKey(
        "registry.Callback", on_delete=models.PROTECT, related_name="agreed_dates"
    )
    step = models.CharField("step", max_length=11, choices=Step)
    due_on = models.DateField("new date")
    signed_on = models.DateField("signed by both on", null=True, blank=True)
    because = models.CharField("because", max_length=200, blank=True)

    class Meta:
        ordering = ("pk",)
        constraints = (
            void_has_reason("agreed_date"),
            models.UniqueConstraint(
                fields=("callback", "step"),
                condition=Q(void_at__isnull=True, double_of__isnull=True),
                name="agreed_date_once_a_step",
            ),
        )

    def __str__(self) -> str:
        return f"{self.get_step_display()} by {self.due_on}"
