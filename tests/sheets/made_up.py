"""Made-up contents of sheets: a lot of 44 panels, one of 300, a path, a paver court."""

from datetime import date

from shapely import Point

from registry.drawing.primitives import Symbol
from registry.plan import (
    Baseline,
    Datum,
    Feature,
    FeatureKind,
    Layout,
    OffsetFrom,
    PlanShape,
    Tie,
    grid,
    squares_over,
)
from registry.sheets.contents import (
    Heading,
    InspectionContent,
    KnownDefect,
    PlannedSpot,
    SheetMark,
)
from registry.units import System

DAY = date(2026, 5, 11)
FT = 0.3048
US, SI = System.INCH_POUND, System.SI
MARK = SheetMark("INS-0417", "https://records.example.org/sheets/INS-0417/")
DATUM = Datum(
    "cross on curb",
    ties=(Tie(18.42 * FT, "hydrant"), Tie(23.07 * FT, "door jamb")),
    check_length_m=132 * FT,
    check_length_between="A1-A11",
    up_toward="the entrance",
)
SPOTS = (
    PlannedSpot("U", "D6 · 6.0 R · 6.0 U", "run-on edge", True, 42 * FT, 66 * FT),
    PlannedSpot("W", "B6 · 6.0 R · 6.0 U", "wheel path", True, 18 * FT, 66 * FT),
    PlannedSpot("M", "A6 · 6.0 R · 6.0 U", "stalls or middle", True, 6 * FT, 66 * FT),
)


def heading(title: str = "INSPECTION", system: System = US, **changes: object) -> Heading:
    given = {
        "pavement": "Cooper's Yard north lot",
        "street": "14 Canal St",
        "own_number": "BC-01",
        "other_numbers": ("PP-23-07", "H-2306"),
        "plan_number": 2,
    }
    return Heading(title, system, DAY, **{**given, **changes})  # type: ignore[arg-type]


def blank(title: str, system: System) -> Heading:
    return Heading(title, system, DAY, is_blank=True)


def lot(lanes: int, count: int, system: System = US) -> Layout:
    """Panels of 12 ft, the aisle's run-on along the right, a drain and a well."""
    side = 12 * FT
    right = lanes * side
    return Layout(
        system,
        DATUM,
        panels=grid(lanes, count, side, side),
        features=(
            Feature(FeatureKind.RUN_ON, "aisle", ((right + 4, 20.0), (right, 20.0))),
            Feature(FeatureKind.DRAIN, "drain 1", ((24 * FT, 6 * FT),)),
            Feature(FeatureKind.WELL, "well 1", ((3 * FT, 100 * FT),)),
        ),
    )


def path(system: System = US) -> Layout:
    left_edge = ((0.0, 0.0), (0.0, 60.0), (20.0, 120.0))
    return Layout(system, DATUM, baseline=Baseline(left_edge, OffsetFrom.CENTER, 3.0))


def court(width_m: float, length_m: float, system: System = SI) -> Layout:
    return Layout(system, DATUM, squares=squares_over(width_m, length_m, system))


def known(count: int) -> tuple[KnownDefect, ...]:
    return tuple(
        KnownDefect(
            nth,
            f"A{nth} · 5.0 R · 7.5 U",
            "raveling along joint",
            f"{nth} ft2",
            "low",
            date(2025, 5, 19),
            PlanShape(Point(5 * FT, (12 * (nth % 11) + 7.5) * FT)),
            Symbol.RAVELING,
        )
        for nth in range(1, count + 1)
    )


INSPECTIONS = {
    "lot_44_ft": InspectionContent(heading(), lot(4, 11), SPOTS, known(6)),
    "lot_44_m": InspectionContent(heading(system=SI), lot(4, 11, SI), SPOTS, known(2)),
    "lot_300": InspectionContent(heading(), lot(15, 20), SPOTS, known(3)),
    "path": InspectionContent(heading(), path(), SPOTS),
    "court": InspectionContent(heading(system=SI), court(30, 18)),
    "large_court": InspectionContent(heading(system=SI), court(78, 66)),
    "no_plan": InspectionContent(heading(plan_number=None)),
    "known_9": InspectionContent(heading(), lot(4, 11), SPOTS, known(9)),
    "blank_ft": InspectionContent(blank("INSPECTION", US)),
    "blank_m": InspectionContent(blank("INSPECTION", SI)),
}
