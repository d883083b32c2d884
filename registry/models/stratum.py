"""Strata: parts of a surface tested apart, with their areas."""

from django.db import models

from registry.models.choices import StratumKind
from registry.models.entry import Entry, void_has_reason


class Stratum(Entry):
    """A stratum of a pavement; its rectangles are in plan metres for random drawing."""

    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="strata"
    )
    kind = models.CharField("stratum", max_length=12, choices=StratumKind)
    area_m2 = models.FloatField("area", null=True, blank=True)
    rectangles = models.JSONField(
        "rectangles, [[right_m, up_m, width_m, length_m], ...]", default=list, blank=True
    )

    class Meta:
        verbose_name_plural = "strata"
        constraints = (
            void_has_reason("stratum"),
            models.UniqueConstraint(
                fields=("pavement", "kind"),
                condition=models.Q(void_at__isnull=True),
                name="stratum_once_in_a_pavement",
            ),
        )

    def __str__(self) -> str:
        return self.get_kind_display()
