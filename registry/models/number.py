"""Numbers that each organisation gives to a pavement, side by side and never merged."""

from django.db import models


class PavementNumber(models.Model):
    """One organisation's number for a pavement."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="numbers"
    )
    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="pavement_numbers"
    )
    number = models.CharField("number", max_length=40)
    from_on = models.DateField("from", null=True, blank=True)
    to_on = models.DateField("to", null=True, blank=True)
    is_taken_back = models.BooleanField(default=False, editable=False)

    class Meta:
        ordering = ("pk",)
        constraints = (
            models.UniqueConstraint(
                fields=("organisation", "number"),
                condition=models.Q(is_taken_back=False, to_on__isnull=True),
                name="number_once_in_an_organisation",
            ),
        )
        indexes = (models.Index(fields=("number",)),)

    def __str__(self) -> str:
        return self.number
