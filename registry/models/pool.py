"""Pools: the pavements whose decline is fitted together. Each pavement is in one pool at a time."""

from datetime import date

from django.db import models
from django.utils import timezone

from registry.models.entry import from_before_to


class Pool(models.Model):
    """Pavements fitted together: an organisation's own, or one that owners' pavements join.

    The organisation's own pool is the default of every pavement it owns. A pool of another kind
    takes pavements by a dated consent or permit (`PoolPlace`).
    """

    organisation = models.ForeignKey(
        "registry.Organisation", on_delete=models.PROTECT, related_name="pools"
    )
    name = models.CharField("pool", max_length=160)
    is_own = models.BooleanField("of its own pavements alone", default=True)
    created_at = models.DateTimeField(default=timezone.now, editable=False)

    class Meta:
        ordering = ("name", "pk")
        constraints = (
            models.UniqueConstraint(
                fields=("organisation",),
                condition=models.Q(is_own=True),
                name="pool_of_its_own_once",
            ),
        )

    def __str__(self) -> str:
        return self.name


class PoolPlaceQuerySet(models.QuerySet["PoolPlace"]):
    """Places in pools."""

    def on(self, day: date) -> "PoolPlaceQuerySet":
        """Return places held on a day."""
        return self.filter(models.Q(to_on__isnull=True) | models.Q(to_on__gt=day), from_on__lte=day)


class PoolPlace(models.Model):
    """A pavement joins a pool from a day on, by a consent or permit."""

    pool = models.ForeignKey(Pool, on_delete=models.PROTECT, related_name="places")
    pavement = models.ForeignKey(
        "registry.Pavement", on_delete=models.PROTECT, related_name="pool_places"
    )
    by_document = models.CharField("by consent or permit", max_length=200)
    from_on = models.DateField("from")
    to_on = models.DateField("to", null=True, blank=True)

    objects = PoolPlaceQuerySet.as_manager()

    class Meta:
        constraints = (
            from_before_to("pool_place"),
            models.UniqueConstraint(
                fields=("pavement",),
                condition=models.Q(to_on__isnull=True),
                name="pavement_in_one_pool_at_a_time",
            ),
            models.CheckConstraint(
                condition=~models.Q(by_document=""), name="pool_place_has_a_document"
            ),
        )

    def __str__(self) -> str:
        return f"{self.pavement} in {self.pool}"
