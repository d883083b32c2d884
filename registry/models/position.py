"""The constraint that a position on earth is whole, or not there at all."""

from django.db import models
from django.db.models import Q


def whole_position(name: str, lon: str, lat: str) -> models.CheckConstraint:
    """Return the constraint that two columns hold both degrees of a place on earth, or neither.

    The columns are asked for outright: a comparison with an empty one is "unknown", and a check
    lets what is unknown pass.
    """
    return models.CheckConstraint(
        name=name,
        condition=Q(**{f"{lon}__isnull": True, f"{lat}__isnull": True})
        | Q(
            **{f"{lon}__isnull": False, f"{lat}__isnull": False},
            **{f"{lon}__gte": -180, f"{lon}__lte": 180, f"{lat}__gte": -90, f"{lat}__lte": 90},
        ),
    )
