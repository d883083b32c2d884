"""Which panels a thing lies on, and with which part it goes when a pavement is split in two.

The line of the cut runs along joints: a panel on it is cut in two first. What lies on panels of
both parts, or on none that is known, is a person's to decide. (House rule, no source.)
"""

from collections.abc import Collection, Mapping
from typing import TypeVar

from shapely import Polygon, unary_union
from shapely.geometry.base import BaseGeometry

Key = TypeVar("Key")

JOINT_M = 0.01
"""So near to a joint a thing lies on it: a tape is not read closer (common practice, no source)."""


def panels_under(shape: BaseGeometry, panels: Mapping[Key, Polygon]) -> frozenset[Key]:
    """Return the keys of the panels a shape lies on; plan coordinates, metres.

    What only reaches a joint lies on the panel it comes from; what runs along one lies on both.
    """
    inside = {key for key, panel in panels.items() if panel.buffer(-JOINT_M).intersects(shape)}
    if inside:
        return frozenset(inside)
    return frozenset(
        key for key, panel in panels.items() if panel.buffer(JOINT_M).intersects(shape)
    )


def part_of(lies_on: Collection[Key], parts: tuple[Collection[Key], Collection[Key]]) -> int | None:
    """Return which part, 0 or 1, has all panels that a thing lies on; None where none has."""
    if not lies_on:
        return None
    return next((n for n, part in enumerate(parts) if set(lies_on) <= set(part)), None)


def piece_within(
    shape: BaseGeometry, panels: Collection[Polygon], *, joint_m: float = JOINT_M
) -> BaseGeometry | None:
    """Return the piece of a shape that lies on some panels; None where it falls into several.

    joint_m  how far it may reach beyond them; a fresh saw line is no joint yet: 0
    """
    piece = shape.intersection(unary_union([panel.buffer(joint_m) for panel in panels]))
    is_whole = piece.geom_type == shape.geom_type and not piece.is_empty
    return piece if is_whole else None
