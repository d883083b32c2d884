"""Driving times that a person brought as a table; every round made from another one shares it."""

from functools import cached_property

from django.db import models


class TravelTable(models.Model):
    """Rows of [from, to, minutes], and how many. It is never changed."""

    rows = models.JSONField("minutes of driving", default=list)
    times = models.PositiveIntegerField("number of times", default=0)

    def __str__(self) -> str:
        return f"a table of {self.times} times"

    @classmethod
    def of(cls, rows: list[list[str | float]]) -> "TravelTable":
        """Return a table of these rows, not stored."""
        return cls(rows=rows, times=len(rows))

    @cached_property
    def places(self) -> frozenset[str]:
        """Names of places that a drive begins at, in small letters."""
        return frozenset(str(row[0]).casefold() for row in self.rows)
