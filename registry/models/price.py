"""Prices of cleaning, as an organisation pays them: each method's, from a day on."""

from django.db import models
from django.db.models import F, Q

from registry.models.entry import DatedQuerySet, Entry, from_before_to, void_has_reason

METHOD_CLASSES = {
    "broom": "blower and broom",
    "regenerative_air": "regenerative air",
    "vacuum": "vacuum",
    "wash_and_vacuum": "wash and vacuum",
}


class PriceQuerySet(DatedQuerySet):
    """Prices."""

    def in_order(self) -> "PriceQuerySet":
        """Return prices oldest first: one without a first day holds from the beginning."""
        return self.order_by(F("from_on").asc(nulls_first=True), "pk")


class Price(Entry):
    """What one cleaning by a method costs: a rate on the area, and a least amount."""

    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="prices"
    )
    method_class = models.CharField("method", max_length=18, choices=METHOD_CLASSES)
    per_m2 = models.DecimalField("price on the area", max_digits=12, decimal_places=6)
    at_least = models.DecimalField("at least", max_digits=12, decimal_places=2, default=0)
    currency = models.CharField("currency", max_length=8)
    source_document = models.CharField("by offer or contract", max_length=200, blank=True)
    from_on = models.DateField("from", null=True, blank=True)
    to_on = models.DateField("to", null=True, blank=True)

    objects = PriceQuerySet.as_manager()

    class Meta:
        ordering = ("method_class", "from_on")
        constraints = (
            void_has_reason("price"),
            from_before_to("price"),
            models.CheckConstraint(
                name="price_is_not_negative", condition=Q(per_m2__gte=0, at_least__gte=0)
            ),
            models.CheckConstraint(name="price_says_its_currency", condition=~Q(currency="")),
        )

    def __str__(self) -> str:
        return f"{self.get_method_class_display()} from {self.from_on or 'the beginning'}"
