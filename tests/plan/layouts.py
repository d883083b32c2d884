"""Plans the tests of the location scheme are worked on."""

import math
from dataclasses import replace
from datetime import date

from registry.plan import (
    Baseline,
    CutAcross,
    Datum,
    Feature,
    FeatureKind,
    Layout,
    OffsetFrom,
    Panel,
    PanelKind,
    Tie,
    grid,
    squares_over,
)
from registry.units import System

FT = 0.3048
PLACED = date(2023, 8, 24)
REPLACED = date(2025, 5, 13)
CUT = date(2025, 8, 4)
BEFORE, AFTER = date(2024, 5, 21), date(2026, 5, 19)


def ft(*values: float) -> tuple[float, ...]:
    return tuple(value * FT for value in values)


def datum(**changes) -> Datum:
    return replace(
        Datum(
            "chiseled cross, canal-side curb at the foot of the lanes",
            (Tie(18.42 * FT, "hydrant bolt"), Tie(23.07 * FT, "door jamb")),
            "nail in the curb at the entrance",
            132 * FT,
            lonlat=(-71.4128, 41.8240),
            bearing_of_up_deg=37.0,
            up_toward="the entrance",
        ),
        **changes,
    )


def north_lot() -> Layout:
    """Four lanes of eleven 12 ft panels, as placed."""
    return Layout(
        System.INCH_POUND,
        datum(),
        grid(4, 11, 12 * FT, 12 * FT, exists_from=PLACED, placed_on=PLACED),
        outline=((0, 0), ft(48, 0), ft(48, 132), ft(0, 132)),
        features=(
            Feature(FeatureKind.FIXED_POINT, "U", (ft(45, 66),)),
            Feature(FeatureKind.FIXED_POINT, "W", (ft(18, 66),)),
            Feature(FeatureKind.FIXED_POINT, "M", (ft(6, 66),)),
            Feature(FeatureKind.RUN_ON, "aisle", (ft(54, 100), ft(48, 100))),
            Feature(FeatureKind.DRAIN, "drain 1", (ft(46, 2),)),
            Feature(FeatureKind.WELL, "well 1", (ft(2, 130),)),
        ),
        number=2,
    )


def mended_lot() -> Layout:
    """The same lot with C8 replaced, D10 taken out and B4 saw-cut twice."""
    lot = north_lot().replaced("C8", REPLACED).ended("D10", REPLACED)
    lot = lot.cut("B4", CUT, 5 * FT, CutAcross.AT_RIGHT)
    return lot.cut("B4b", date(2025, 9, 1), 3 * FT, CutAcross.AT_UP)


def closing_lot() -> Layout:
    """Two lanes of which the right one closes on a slanted curb."""
    left = grid(1, 3, 12 * FT, 12 * FT)
    right = tuple(
        Panel(
            "B",
            number,
            12 * FT,
            (number - 1) * 12 * FT,
            (13 - number) * FT,
            12 * FT,
            corners=(
                ft(12, 12 * (number - 1)),
                ft(25 - number, 12 * (number - 1)),
                ft(24 - number, 12 * number),
                ft(12, 12 * number),
            ),
            kind=PanelKind.CLOSING_PIECE,
        )
        for number in (1, 2, 3)
    )
    return Layout(System.INCH_POUND, datum(), (*left, *right))


def curved_lane() -> Layout:
    """One lane of 3 m panels that follows a curve to the right, 5 degrees a panel."""
    panels, corner, turn = [], (0.0, 0.0), 0.0
    for number in range(1, 7):
        way = math.radians(turn)
        up, right = (math.sin(way), math.cos(way)), (math.cos(way), -math.sin(way))
        far = (corner[0] + 3 * up[0], corner[1] + 3 * up[1])
        narrow = 3 - 2.5 * math.tan(math.radians(5))
        corners = (
            corner,
            (corner[0] + 2.5 * right[0], corner[1] + 2.5 * right[1]),
            (
                corner[0] + 2.5 * right[0] + narrow * up[0],
                corner[1] + 2.5 * right[1] + narrow * up[1],
            ),
            far,
        )
        panels.append(Panel("A", number, *corner, 2.5, 3.0, corners=corners, turned_deg=turn))
        corner, turn = far, turn + 5
    return Layout(System.SI, datum(), tuple(panels))


def walk() -> Layout:
    """A path 10 ft wide, 294 ft long, with a bend to the right and one to the left."""
    edge = (ft(0, 0), ft(0, 100), ft(60, 200), ft(60, 278))
    line = Baseline(edge, OffsetFrom.CENTER, 10 * FT)
    return Layout(System.INCH_POUND, datum(), baseline=line)


def paver_lot() -> Layout:
    squares = squares_over(58 * FT, 88 * FT, System.INCH_POUND)
    return Layout(System.INCH_POUND, datum(), squares=squares)
