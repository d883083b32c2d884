"""A printed sheet that came back and was copied in; a second copy is held as a double."""

from django.conf import settings
from django.db import models
from django.utils import timezone


class SheetCopy(models.Model):
    """What one person typed from a sheet of paper, in the sheet's order and words.

    The first copy of a sheet makes its visit, or of a work order's sheet what became of the order:
    a cleaning, or that it was turned away or called off; of a load sheet the loads of its placing
    day. A later one makes nothing: it is kept as a double with the differences to the first, for a
    person to look at.
    """

    sheet = models.ForeignKey(
        "registry.PrintedSheet", on_delete=models.PROTECT, related_name="copies"
    )
    visit = models.ForeignKey(
        "registry.Visit", on_delete=models.PROTECT, null=True, blank=True, related_name="copies"
    )
    cleaning = models.ForeignKey(
        "registry.Cleaning", on_delete=models.PROTECT, null=True, blank=True, related_name="copies"
    )
    placing_day = models.ForeignKey(
        "registry.PlacingDay",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="copies",
    )
    typed = models.JSONField("as typed, by place on the sheet")
    is_double = models.BooleanField(default=False)
    differences = models.JSONField("differences to the first copy", default=list, blank=True)
    copied_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    copied_for = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, null=True, related_name="+"
    )
    copied_at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        ordering = ("pk",)
        constraints = (
            models.UniqueConstraint(
                fields=("sheet",),
                condition=models.Q(is_double=False),
                name="sheet_copied_in_once",
            ),
        )

    def __str__(self) -> str:
        return f"{self.sheet}{' (double)' if self.is_double else ''}"
