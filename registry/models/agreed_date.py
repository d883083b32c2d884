"""Dates in place of counted ones: said by one side, agreed once the other confirms. Both stay."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from registry.models.entry import Entry, EntryQuerySet, void_has_reason
from registry.models.warranty import Step


class AgreedDateQuerySet(EntryQuerySet):
    """Dates said and agreed."""

    def confirmed(self) -> "AgreedDateQuerySet":
        """Return those that both sides signed here, in the order of the second signature."""
        rows = self.standing().filter(confirmed_at__isnull=False)
        return rows.order_by("confirmed_at", "pk")


class AgreedDate(Entry):
    """A new date for one step of a callback.

    Whoever enters it says that both agreed; clocks follow it from the confirmation of the other
    side on. Only `actions.confirm_agreed_date` writes the confirmation. Of several that are
    confirmed for one step the last one counts.
    """

    callback = models.ForeignKey(
        "registry.Callback", on_delete=models.PROTECT, related_name="agreed_dates"
    )
    step = models.CharField("step", max_length=11, choices=Step)
    due_on = models.DateField("new date")
    signed_on = models.DateField("signed by both on", null=True, blank=True)
    because = models.CharField("because", max_length=200, blank=True)
    confirmed_at = models.DateTimeField(null=True, blank=True, editable=False)
    confirmed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        editable=False,
        related_name="+",
    )
    confirmed_for = models.ForeignKey(
        "registry.Organisation",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        editable=False,
        related_name="+",
    )
    confirmed_as = models.CharField(max_length=120, blank=True, editable=False)

    objects = AgreedDateQuerySet.as_manager()

    class Meta:
        ordering = ("pk",)
        constraints = (
            void_has_reason("agreed_date"),
            models.CheckConstraint(
                name="agreed_date_confirmed_by_a_side",
                condition=Q(confirmed_at__isnull=True, confirmed_for__isnull=True)
                | Q(confirmed_at__isnull=False, confirmed_for__isnull=False),
            ),
            models.UniqueConstraint(
                fields=("callback", "step"),
                condition=Q(
                    void_at__isnull=True, double_of__isnull=True, confirmed_at__isnull=True
                ),
                name="agreed_date_open_once_a_step",
            ),
        )

    def __str__(self) -> str:
        return f"{self.get_step_display()} by {self.due_on}"
