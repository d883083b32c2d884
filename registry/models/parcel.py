"""Parcels of land, which split and merge while the pavement stays."""

from django.db import models

from registry.models.entry import DatedQuerySet, Entry, from_before_to, void_has_reason


class Parcel(Entry):
    """A parcel under a site, from and to a day."""

    site = models.ForeignKey("registry.Site", on_delete=models.PROTECT, related_name="parcels")
    number = models.CharField("parcel number", max_length=60)
    legal_description = models.TextField("legal description", blank=True)
    agreement = models.CharField(
        "maintenance agreement, record no. and date", max_length=200, blank=True
    )
    agreement_state = models.CharField(
        "maintenance agreement",
        max_length=12,
        blank=True,
        choices={
            "recorded": "recorded",
            "not_found": "not found",
            "not_required": "not required",
        },
    )
    split_from = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="split_into"
    )
    merged_into = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="merged_from"
    )
    from_on = models.DateField("from", null=True, blank=True)
    to_on = models.DateField("to", null=True, blank=True)

    objects = DatedQuerySet.as_manager()

    class Meta:
        ordering = ("number",)
        constraints = (void_has_reason("parcel"), from_before_to("parcel"))

    def __str__(self) -> str:
        return self.number
