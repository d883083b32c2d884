"""Minutes of driving between places: from coordinates, or from a table that the user brings.

From coordinates: geodesic distance on the WGS 84 ellipsoid (`pyproj.Geod`) × detour factor
÷ speed, rounded up to the whole minute. A table may differ there and back.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import ceil, isfinite

import numpy as np
from numpy.typing import NDArray
from pyproj import Geod

from registry.planning.rounds.faults import RoundError

WGS84 = Geod(ellps="WGS84")


@dataclass(frozen=True, eq=False)
class Travel:
    """Whole minutes from each place to each, shape (places, places); the diagonal is 0."""

    places: tuple[str, ...]
    minutes: NDArray[np.int64]

    def __post_init__(self) -> None:
        size = len(self.places)
        if len(set(self.places)) < size:
            raise RoundError("A place stands twice in the list of places.")
        if self.minutes.shape != (size, size):
            raise RoundError(f"{size} places need {size} × {size} times of driving.")
        if (self.minutes < 0).any() or self.minutes.diagonal().any():
            raise RoundError("No drive takes less than 0 minutes, and staying takes none.")
        object.__setattr__(self, "_row", {place: n for n, place in enumerate(self.places)})

    def row_of(self, place: str) -> int:
        """Return the row of a place. Raises RoundError for one without times of driving."""
        rows: dict[str, int] = self.__dict__["_row"]
        if place not in rows:
            raise RoundError(f"“{place}”: no times of driving are known for this place.")
        return rows[place]

    def between(self, begins: str, ends: str) -> int:
        """Return the minutes from one place to another."""
        return int(self.minutes[self.row_of(begins), self.row_of(ends)])


def travel_from_coordinates(
    places: Mapping[str, tuple[float, float]], *, detour_factor: float, speed_km_h: float
) -> Travel:
    """Return times between places given as (longitude, latitude) in degrees.

    Raises RoundError for a place off the globe, a detour factor under 1 or a speed of 0 or less.
    """
    if not (isfinite(detour_factor) and detour_factor >= 1):
        raise RoundError("The detour factor is 1 (as the crow flies) or more.")
    if not (isfinite(speed_km_h) and speed_km_h > 0):
        raise RoundError("The speed on the road is above 0.")
    for place, (lon, lat) in places.items():
        if not (abs(lon) <= 180 and abs(lat) <= 90):
            raise RoundError(f"“{place}”: {lon}, {lat} is no longitude and latitude.")
    size = len(places)
    at = np.array(list(places.values()), dtype=float).reshape(size, 2)
    begins, ends = np.repeat(at, size, axis=0), np.tile(at, (size, 1))
    metres = WGS84.inv(begins[:, 0], begins[:, 1], ends[:, 0], ends[:, 1])[2].reshape(size, size)
    minutes = metres * detour_factor / (speed_km_h * 1000 / 60)
    # A hair over a whole minute is the rounding of the computer, not a minute of driving.
    whole = np.ceil(minutes.round(6)).astype(np.int64)
    np.fill_diagonal(whole, 0)
    return Travel(tuple(places), whole)


def travel_from_table(
    rows: Iterable[tuple[str, str, float]], places: Iterable[str] | None = None
) -> Travel:
    """Return times from rows of (from, to, minutes), rounded up; there and back may differ.

    places    those that the round needs; all that the table names where None
    Raises RoundError, naming the pair, where one is missing, negative or given twice.
    """
    given: dict[tuple[str, str], float] = {}
    for begins, ends, minutes in rows:
        if not (isfinite(minutes) and minutes >= 0):
            raise RoundError(f"From “{begins}” to “{ends}”: {minutes} minutes is no time to drive.")
        if given.get((begins, ends), minutes) != minutes:
            raise RoundError(f"From “{begins}” to “{ends}” stands twice, with different times.")
        if begins == ends and minutes:
            raise RoundError(f"From “{begins}” to itself takes {minutes} minutes in the table.")
        given[begins, ends] = minutes
    named = tuple(dict.fromkeys(name for pair in given for name in pair))
    needed = named if places is None else tuple(dict.fromkeys(places))
    pairs = [(a, b) for a in needed for b in needed if a != b]
    missing = [pair for pair in pairs if pair not in given]
    if missing:
        more = f", and {len(missing) - 1} more" if len(missing) > 1 else ""
        raise RoundError(
            f"The table has no time from “{missing[0][0]}” to “{missing[0][1]}”{more}."
        )
    row = {place: n for n, place in enumerate(needed)}
    whole = np.zeros((len(needed), len(needed)), dtype=np.int64)
    for begins, ends in pairs:
        whole[row[begins], row[ends]] = ceil(round(given[begins, ends], 6))
    return Travel(needed, whole)
