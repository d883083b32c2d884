"""Which panels lie in the plow or salt zone: one rule for page, paper and the record of a dossier.

What people said at the panels goes before what the lines of the log name.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

SAID = "As seen at the panels on the visit; all others are taken as outside."
LOGGED = (
    "Panels that lines of the log between the two looks name for salt, or for a plow without "
    "shoes; a line over every panel tells none from another."
)


@dataclass(frozen=True)
class ZoneLine:
    """A line of the winter log. reaches: salt, or a plow without shoes."""

    on: date
    panels: frozenset[str]
    reaches: bool


def reaches(*, deicer: str, plowed: str, shoes: str) -> bool:
    """Say whether a line of the log makes a zone."""
    return bool(deicer) or (plowed == "yes" and shoes != "yes")


def logged_zone(
    lines: Iterable[ZoneLine], after: date, until: date, names: Collection[str]
) -> set[str]:
    """Return the panels in the zone of lines between two days."""
    known = set(names)
    zone: set[str] = set()
    for line in lines:
        own = line.panels & known
        if line.reaches and after < line.on <= until and own != known:
            zone |= own
    return zone


def zone_between(
    said: Mapping[str, bool],
    lines: Iterable[ZoneLine],
    after: date,
    until: date,
    names: Collection[str],
) -> tuple[set[str], str]:
    """Return the panels of the zone, and the rule that said so.

    said  panel to whether a person saw it lie in the zone; empty where nobody said so of any
    """
    if said:
        return {name for name in names if said.get(name)}, SAID
    return logged_zone(lines, after, until, names), LOGGED
