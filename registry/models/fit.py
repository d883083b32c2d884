"""Fits of the decline of a pool: append-only, with options, digest of the input and checks."""

from collections.abc import Iterable
from typing import Any

from django.db import models
from django.utils import timezone

LATER = frozenset({"back_test"})
"""What a stored fit is given afterwards."""


class FitIsKept(TypeError):
    """A stored fit was to be changed or deleted: a mistake in the code that asks for it."""


def _refuse(fields: Iterable[str]) -> None:
    if not_later := sorted(set(fields) - LATER):
        raise FitIsKept(f"A fit is kept as it was stored: {', '.join(not_later)} cannot change.")


class FitQuerySet(models.QuerySet["Fit"]):
    """Fits."""

    def update(self, **fields: Any) -> int:
        """Store a back-test; raise FitIsKept for anything else."""
        _refuse(fields)
        return super().update(**fields)

    def delete(self) -> tuple[int, dict[str, int]]:
        """Raise FitIsKept: pages and outlooks tell for ever from which fit they came."""
        raise FitIsKept("A fit is never deleted.")

    def current(self) -> "FitQuerySet":
        """Return converged fits, the newest first; the first of a pool is the one in force."""
        return self.filter(converged=True).order_by("-pk")


class Fit(models.Model):
    """One fit. Failing to fit is a result too: kept with its reason.

    `parameters` by name; `covariance` is of the unconstrained numbers, {names, rows}, null unless
    converged. Options, parameters and covariance are as `decline/written.py` writes them. Times in
    years, rates in mm/h, natural logarithms.
    """

    pool = models.ForeignKey("registry.Pool", on_delete=models.PROTECT, related_name="fits")
    made_at = models.DateTimeField(default=timezone.now, editable=False)
    as_of_on = models.DateField()
    options = models.JSONField(default=dict)
    input_digest = models.CharField(max_length=64)
    code_version = models.CharField(max_length=20)
    converged = models.BooleanField()
    message = models.CharField(max_length=300, blank=True)
    parameters = models.JSONField(null=True)
    covariance = models.JSONField(null=True)
    log_likelihood = models.FloatField(null=True)
    log_posterior = models.FloatField(null=True)
    checks = models.JSONField(default=list)
    back_test = models.JSONField(null=True)
    pavements = models.PositiveIntegerField(default=0)
    spots = models.PositiveIntegerField(default=0)
    infiltration_tests = models.PositiveIntegerField(default=0)
    bounds = models.PositiveIntegerField(default=0)
    cleanings = models.PositiveIntegerField(default=0)
    left_out = models.JSONField("records left out, by reason", default=dict)
    unknown_drivers = models.JSONField("drivers not known, counted as no", default=dict)
    drivers = models.JSONField("what drives clogging", default=list)
    recoveries = models.JSONField(default=list)
    residuals = models.JSONField("residuals counted in cells", null=True)
    seconds = models.FloatField(default=0)

    objects = FitQuerySet.as_manager()

    class Meta:
        ordering = ("-pk",)
        indexes = (models.Index(fields=("pool", "converged", "id")),)
        constraints = (
            models.CheckConstraint(
                condition=models.Q(converged=True) | ~models.Q(message=""),
                name="fit_that_failed_says_why",
            ),
            models.CheckConstraint(
                condition=models.Q(converged=False) | models.Q(parameters__isnull=False),
                name="converged_fit_has_parameters",
            ),
        )

    def __str__(self) -> str:
        return f"fit of {self.pool} made {self.made_at:%Y-%m-%d}"

    def save(self, *args: Any, **given: Any) -> None:
        """Store a new fit, or the back-test of a stored one; raise FitIsKept for anything else."""
        if not self._state.adding:
            _refuse(given.get("update_fields") or [f.name for f in self._meta.concrete_fields])
        super().save(*args, **given)
