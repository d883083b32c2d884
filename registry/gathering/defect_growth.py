"""How a defect grew from look to look (N19): its extent, and the heights and widths beside it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from registry.defects import NORTH, SOUTH, Growth, Sized, Winter, growth, kind_of
from registry.defects.measured import WORDS
from registry.gathering.defect_looks import EXTENT_OF
from registry.models import Defect, DefectMove, Observation, Pavement
from registry.units import System

BESIDE = ("lip_m", "crack_width_m", "width_m", "depth_m")
"""What grows beside the extent, where the kind is measured so."""

NOT_WRITTEN = "not written down"
NO_METHOD = "not shown to be measured alike, for how it was measured is not written down"


@dataclass(frozen=True)
class GrowthOf:
    """How one measure, `name`, grew; `words` are its lines in the viewer's units."""

    name: str
    found: tuple[Growth, ...]
    words: tuple[str, ...]

    @property
    def label(self) -> str:
        """Return what the trade calls the measure."""
        return WORDS[self.name]


def repaired_on(moves: Sequence[DefectMove]) -> list[date]:
    """Return the days on which a defect was repaired."""
    return [move.on for move in moves if move.to_state == "repaired" and not move.is_back]


def growths(
    defect: Defect, looks: Sequence[Observation], moves: Sequence[DefectMove], system: System
) -> tuple[GrowthOf, ...]:
    """Return the growth of every measure that at least two looks have. Looks that found it count.

    Its pavement and site are fetched with the defect.
    """
    kind = kind_of(defect.kind)
    main = EXTENT_OF[kind.unit]
    names = [main, *(name for name in BESIDE if name in kind.asks and name != main)]
    parts = []
    for name in names:
        lines = growth_of(defect, name, looks, repaired_on(moves))
        if lines:
            words = tuple(line.words(system) for line in lines)
            parts.append(GrowthOf(name, lines, words))
    return tuple(parts)


def growth_of(
    defect: Defect, name: str, looks: Sequence[Observation], repairs: Sequence[date]
) -> tuple[Growth, ...]:
    """Return the growth of one measure between looks that found the defect, oldest first.

    Looks that did not measure it are passed over: they neither hide growth nor make any. None is
    given where nobody wrote down how it was measured, or where the place is provisional.
    """
    unit = kind_of(defect.kind).unit if name == EXTENT_OF[kind_of(defect.kind).unit] else "mm"
    found = [look for look in looks if look.found == Observation.Found.FOUND]
    every = [_sized(defect, look, name, unit) for look in found]
    sized = [one for one in every if one.extent is not None]
    if len(sized) < 2:
        return ()
    lines = growth(sized, winter=winter_at(defect.pavement), repaired_on=repairs)
    unknown = {one.on for one in sized if one.method == NOT_WRITTEN}
    return tuple(_withheld(line) if _hangs_on(line, unknown) else line for line in lines)


def winter_at(pavement: Pavement) -> Winter:
    """Return the months of winter there: the other way round south of the equator."""
    lat = pavement.site.lat
    return SOUTH if lat is not None and lat < 0 else NORTH


def _sized(defect: Defect, look: Observation, name: str, unit: str) -> Sized:
    value = getattr(look, name)
    if value is not None and unit == "mm":
        value *= 1000
    method = look.get_method_display() if look.method else NOT_WRITTEN
    return Sized(look.seen_on, value, unit, method, "", not defect.is_provisional)


def _hangs_on(line: Growth, days: set[date]) -> bool:
    return line.change is not None and bool({line.first_on, line.second_on} & days)


def _withheld(line: Growth) -> Growth:
    """The change itself is told; no number a year is drawn from it."""
    return replace(line, per_year=None, per_winter=None, reason=NO_METHOD, no_winter=NO_METHOD)
