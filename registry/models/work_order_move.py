"""The moves of a work order's state: dated, signed, never changed. A way back is a new line."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from registry.planning.order_moves import STATES


class WorkOrderMove(models.Model):
    """One move. `dated_for` and `crew` say for when and whom an order was dated.

    `cleaning` is the event in which it was done, done in part, turned away or called off: who, why,
    clock and cost stand there.
    """

    order = models.ForeignKey("registry.WorkOrder", on_delete=models.PROTECT, related_name="moves")
    from_state = models.CharField(max_length=12, choices=STATES, blank=True)
    to_state = models.CharField(max_length=12, choices=STATES)
    is_back = models.BooleanField("back to an earlier state", default=False)
    why = models.CharField("because", max_length=300, blank=True)
    on = models.DateField("date")
    signed_by = models.CharField("signed", max_length=160, blank=True)
    dated_for = models.DateField("dated for", null=True, blank=True)
    crew = models.ForeignKey(
        "registry.Crew", on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    cleaning = models.ForeignKey(
        "registry.Cleaning", on_delete=models.PROTECT, null=True, blank=True, related_name="moves"
    )
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    by_organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, null=True, related_name="+"
    )
    at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        ordering = ("at", "pk")
        constraints = (
            models.CheckConstraint(
                name="work_order_move_back_says_why", condition=Q(is_back=False) | ~Q(why="")
            ),
        )

    def __str__(self) -> str:
        return f"{self.order}: {self.get_to_state_display()}"
