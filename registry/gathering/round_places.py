"""Where crews drive: names of places as a table of driving times has them, and their positions."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from registry.models import Pavement, Round
from registry.models.crew_place import CrewPlace
from registry.planning.rounds.travel import Travel, travel_from_coordinates, travel_from_table

Key = tuple[str, int]


@dataclass(frozen=True)
class Place:
    """A place by its kind and key; `at` is (longitude, latitude), None where nobody wrote it."""

    key: Key
    name: str
    at: tuple[float, float] | None


class RoundPlaces:
    """Places of a round under names that are told apart: a second of one name has its number."""

    def __init__(self, places: Iterable[Place]) -> None:
        found = {place.key: place for place in places}
        times = Counter(place.name.casefold() for place in found.values())
        self.names = {
            key: place.name if times[place.name.casefold()] == 1 else _with_number(place)
            for key, place in found.items()
        }
        self.at = {self.names[key]: place.at for key, place in found.items()}
        self.keys = {name: key for key, name in self.names.items()}

    def name_of(self, row: CrewPlace | Pavement) -> str:
        """Return the name of a depot, dump place, water point or pavement."""
        return self.names[key_of(row)]

    def is_known(self, name: str, row: Round) -> bool:
        """Say whether driving to a place can be worked out: its position, or a table."""
        if row.travel is not None:
            return name.casefold() in row.travel.places
        return self.at[name] is not None

    def travel(self, row: Round, names: Iterable[str]) -> Travel:
        """Return the minutes of driving. Raises RoundError where the table leaves a pair out."""
        needed = list(dict.fromkeys(names))
        if row.travel is None:
            places = {name: at for name in needed if (at := self.at[name]) is not None}
            return travel_from_coordinates(
                places, detour_factor=row.detour_factor, speed_km_h=row.speed_km_h
            )
        own = {name.casefold(): name for name in needed}
        lines = [
            (own[str(a).casefold()], own[str(b).casefold()], float(minutes))
            for a, b, minutes in row.travel.rows
            if str(a).casefold() in own and str(b).casefold() in own
        ]
        return travel_from_table(lines, needed)


def key_of(row: CrewPlace | Pavement) -> Key:
    """Return the kind and key of a place. Pavements of a site without an own position share it."""
    if isinstance(row, Pavement):
        return ("site", row.site_id) if _own_position(row) is None else ("pavement", row.pk)
    return (str(row._meta.verbose_name), row.pk)


def place_of(row: CrewPlace | Pavement) -> Place:
    """Return the place of a row."""
    if not isinstance(row, Pavement):
        return Place(key_of(row), row.name, _position(row.lon, row.lat))
    own = _own_position(row)
    if own is not None:
        return Place(key_of(row), f"{row.site}, {row.name}", own)
    return Place(key_of(row), row.site.name, _position(row.site.lon, row.site.lat))


def _own_position(row: Pavement) -> tuple[float, float] | None:
    return _position(row.datum_lon, row.datum_lat) or _position(row.lon, row.lat)


def _position(lon: float | None, lat: float | None) -> tuple[float, float] | None:
    return None if lon is None or lat is None else (lon, lat)


def _with_number(place: Place) -> str:
    kind, number = place.key
    return f"{place.name} ({kind} {number})"
