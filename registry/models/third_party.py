"""Evaluators and others who were asked in a callback, and what they reported."""

from django.db import models

from registry.models.entry import Entry, void_has_reason


class ThirdParty(Entry):
    """One third party. `cost_shares` is a list of [party, percent as text]."""

    callback = models.ForeignKey(
        "registry.Callback", on_delete=models.PROTECT, related_name="third_parties"
    )
    organisation = models.ForeignKey(
        "registry.Organisation",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="asked_in_callbacks",
        verbose_name="organisation on the record",
    )
    name = models.CharField("name", max_length=160)
    named_by = models.CharField("named by", max_length=160, blank=True)
    named_on = models.DateField("named on", null=True, blank=True)
    question = models.TextField("question put", blank=True)
    samples = models.CharField("samples", max_length=240, blank=True)
    reported_on = models.DateField("report of", null=True, blank=True)
    report = models.TextField("report, in short", blank=True)
    cost_shares = models.JSONField("shares of the cost", default=list, blank=True)

    class Meta:
        ordering = ("named_on", "pk")
        constraints = (void_has_reason("third_party"),)

    def __str__(self) -> str:
        return self.name
