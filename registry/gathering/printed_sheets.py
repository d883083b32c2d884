"""What came back on printed sheets."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from registry.models import InfiltrationTest

# What a person writes on the sheet for one run, and how it is called there.
COMPARED = (
    ("started_on", "date"),
    ("started_at", "start"),
    ("place_used", "place really used"),
    ("system", "units"),
    ("ring", "ring"),
    ("prewet_water", "prewet water"),
    ("prewet_seconds", "prewet time, s"),
    ("water", "water poured"),
    ("seconds", "time, s"),
    ("ended", "ended"),
    ("water_left", "water left"),
    ("surface", "surface"),
    ("crack_in_ring", "crack or joint in the ring"),
    ("standing_water", "standing water"),
    ("stated_value", "rate on the sheet"),
)


@dataclass(frozen=True)
class Difference:
    """One reading that two typings of a sheet do not share, as each wrote it."""

    name: str
    first: str
    second: str


@dataclass(frozen=True)
class TypedTwice:
    """The same run of a sheet typed in twice. The first is kept; the second held, or to be held."""

    first: InfiltrationTest
    second: InfiltrationTest
    differences: tuple[Difference, ...]

    @property
    def is_held(self) -> bool:
        """Say whether the second stands as a double of the first."""
        return self.second.double_of_id == self.first.pk


def typed_twice(tests: Iterable[InfiltrationTest]) -> tuple[TypedTwice, ...]:
    """Find runs of one spot that came in more than once from one sheet, void ones left out.

    tests: rows with one sheet number, `spot` fetched with them. A sheet has one place for each
    run of a spot, so a second entry for it is the same writing read again.
    """
    places: dict[tuple[int, int], list[InfiltrationTest]] = defaultdict(list)
    for row in sorted(tests, key=lambda row: (row.entered_at, row.pk)):
        if not row.is_void:
            places[row.spot_id, row.run].append(row)
    return tuple(
        TypedTwice(rows[0], second, _differences(rows[0], second))
        for rows in places.values()
        for second in rows[1:]
    )


def _differences(first: InfiltrationTest, second: InfiltrationTest) -> tuple[Difference, ...]:
    return tuple(
        Difference(name, _written(first, field), _written(second, field))
        for field, name in COMPARED
        if getattr(first, field) != getattr(second, field)
    )


def _written(row: InfiltrationTest, field: str) -> str:
    """A reading as it was typed, or the value where only that is kept."""
    value = getattr(row, field)
    words = row.written(field) or ("" if value is None else str(value))
    return words or row.kind_of_empty(field)
