"""Which site a row means. Nothing is ever matched by its name alone."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import cos, hypot, radians

from registry.exchange.known import KnownRef
from registry.exchange.pavement_rows import PavementRow
from registry.exchange.problems import Problem, Problems

NEAR_M = 2000.0
"""Pavements of one site lie within this of each other. Common practice, no source."""

METRES_PER_DEGREE = 111_195.0  # of latitude, on a sphere of 6371 km


@dataclass(frozen=True)
class SiteChoice:
    """The site of the rows with one name: one of the record, or a new one (id None)."""

    name: str
    site_id: int | None
    zone: str


def choose_sites(
    rows: Sequence[PavementRow], known: dict[str, KnownRef], zone: str, file: str, doubts: Problems
) -> dict[str, SiteChoice]:
    """Return the site for each name that rows of new pavements give.

    The rows of one file that give one name mean one site. It is a site of the record where one of
    those rows is a pavement there already, or where a site of that name lies within 2 km; else it
    is new, in local time `zone`, and a doubt asks where the record knows the name.
    """
    by_name: dict[str, list[PavementRow]] = defaultdict(list)
    for row in rows:
        by_name[row.site].append(row)
    namesakes: dict[str, list[KnownRef]] = defaultdict(list)
    for ref in known.values():
        namesakes[ref.site_name].append(ref)
    choices = {}
    for name, members in by_name.items():
        if all(row.ref in known for row in members):
            continue
        _doubt_distance(name, members, file, doubts)
        choices[name] = _choose(name, members, known, namesakes[name], zone, file, doubts)
    return choices


def _choose(
    name: str,
    members: Sequence[PavementRow],
    known: dict[str, KnownRef],
    namesakes: Sequence[KnownRef],
    zone: str,
    file: str,
    doubts: Problems,
) -> SiteChoice:
    beside = [known[row.ref] for row in members if row.ref in known]
    near = [ref for ref in namesakes if any(_is_near(row, ref) for row in members)]
    meant = beside or near
    if len({ref.site_id for ref in meant}) == 1:
        return SiteChoice(name, meant[0].site_id, meant[0].zone)
    if namesakes:
        row = next(row for row in members if row.ref not in known)
        doubts.add(
            Problem(
                file,
                row.row,
                "site",
                f"There is a site “{name}” in the record, but the name alone does not show that "
                "it is the same one. A new site is made.",
                "Look at address and position of both; fill in lon and lat to have it found.",
            )
        )
    return SiteChoice(name, None, zone)


def _is_near(row: PavementRow, ref: KnownRef) -> bool:
    if row.lon is None or row.lat is None or ref.lon is None or ref.lat is None:
        return False
    return distance_m((row.lon, row.lat), (ref.lon, ref.lat)) <= NEAR_M


def _doubt_distance(name: str, members: Iterable[PavementRow], file: str, doubts: Problems) -> None:
    placed = [row for row in members if row.lon is not None and row.lat is not None]
    if not placed:
        return
    first = placed[0]
    far = [(distance_m(_point(first), _point(row)), row) for row in placed[1:]]
    farthest, row = max(far, key=lambda pair: pair[0], default=(0.0, first))
    if farthest > NEAR_M:
        doubts.add(
            Problem(
                file,
                row.row,
                "site",
                f"“{name}” is the site of {first.ref} too, {farthest / 1000:.0f} km away.",
                "Ask whether these are two sites of one name, or a position is wrong.",
            )
        )


def _point(row: PavementRow) -> tuple[float, float]:
    return (row.lon or 0.0, row.lat or 0.0)


def distance_m(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Return metres between two (lon, lat) that lie near each other, on a sphere."""
    middle = radians((one[1] + other[1]) / 2)
    east = ((one[0] - other[0] + 180) % 360 - 180) * cos(middle)
    return METRES_PER_DEGREE * hypot(east, one[1] - other[1])
