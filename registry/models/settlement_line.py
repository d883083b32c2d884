"""Lines of a settlement: panels, area, price, each party's percent."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q

from registry.models.entry import Entry, void_has_reason


class SettlementLine(Entry):
    """One line. The area and the price are kept in the unit and currency agreed, never converted.

    `currency` is a sign or code as written; empty on lines from before it was asked for.

    `share_percents` is a list of [party, percent as decimal text], which add up to 100.
    """

    callback = models.ForeignKey(
        "registry.Callback", on_delete=models.PROTECT, related_name="settlement"
    )
    panels = models.JSONField("panels", default=list, blank=True)
    panels_text = models.CharField("panels, as written", max_length=240, blank=True)
    area = models.FloatField("area, in the unit of the price")
    area_unit = models.CharField("unit", max_length=3, choices={"ft2": "ft²", "m2": "m²"})
    unit_price = models.DecimalField("price per unit", max_digits=10, decimal_places=2)
    currency = models.CharField("currency of the price", max_length=8, blank=True, default="")
    share_percents = models.JSONField("shares", default=list)
    agreed_on = models.DateField("agreed on", null=True, blank=True)

    class Meta:
        ordering = ("pk",)
        constraints = (
            void_has_reason("settlement_line"),
            models.CheckConstraint(
                name="settlement_line_has_an_area", condition=Q(area__gt=0, unit_price__gte=0)
            ),
        )

    def clean(self) -> None:
        """Refuse a new line of a signed settlement: the other side would sign another one."""
        if self._state.adding and self.callback_id and self.callback.has_signed_settlement():
            raise ValidationError(
                "The settlement is signed, so it takes no further line. Move the callback back "
                "into the dispute first, because a line is missing; then both sides sign it anew."
            )

    def __str__(self) -> str:
        return self.panels_text or ", ".join(self.panels)
