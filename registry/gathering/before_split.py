"""What a defect was at the pavement that its own was split from: its looks and photos there."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from registry.gathering.defect_looks import LookLine
from registry.models import Defect, Observation
from registry.models.photo import PhotoQuerySet


@dataclass(frozen=True)
class BeforeSplit:
    """The row it was carried on from, its looks and its photos, as far as the reader sees them."""

    row: Defect
    looks: tuple[LookLine, ...]
    photos: PhotoQuerySet


def standing_looks(
    looks: Sequence[Observation], before: Iterable[BeforeSplit]
) -> list[Observation]:
    """Return the looks that stand, oldest first, those before the split among them, each once.

    A look that was repeated at the part counts as it stands there, where it may be put right.
    """
    repeated = {look.carried_from_id for look in looks}
    found = list(looks)
    for old in before:
        found += [line.row for line in old.looks if line.row.pk not in repeated]
        repeated |= {line.row.carried_from_id for line in old.looks}
    standing = [look for look in found if not look.is_void and look.double_of_id is None]
    return sorted(standing, key=lambda look: (look.seen_on, look.pk))
