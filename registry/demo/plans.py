"""Plans, panels, strata and fixed points of the town's pavements."""

from collections.abc import Iterable
from datetime import date

from registry.actions.add_entries import add_entries
from registry.actions.add_entry import add_entry
from registry.demo.demands import SLOPE_CUT_OFF
from registry.demo.ground import GROUNDS, Ground, PanelGrid, PathGrid, SquareGrid
from registry.demo.pavements import author_of
from registry.demo.people import CONTRACTOR, Cast
from registry.demo.tables import feet
from registry.gathering.layouts import layout_of
from registry.models import Panel, Pavement, Plan, PlanKind, Section, Spot, Stratum
from registry.models.choices import StratumKind
from registry.plan import read_place, to_plan
from registry.units import System

STRATUM_OF = {
    "U": StratumKind.RUN_ON_EDGE,
    "W": StratumKind.WHEEL_PATH,
    "M": StratumKind.FIELD,
}
REPLACED: dict[str, tuple[tuple[frozenset[str], date], ...]] = {
    "PP-23-07": (
        (frozenset(f"C{n}" for n in range(5, 12)), date(2025, 5, 13)),
        (frozenset(f"D{n}" for n in range(8, 12)), date(2025, 5, 14)),
    ),
    # The month alone is written; the town verified the works as done on this day.
    "PP-19-06": ((frozenset(f"{row}{n}" for row in "AB" for n in range(1, 11)), SLOPE_CUT_OFF),),
}
TIES = (("hydrant bolt", 18.42), ("door jamb", 23.07))
"""Ties and check length of BC-01 as its inspection sheet prints them."""


def draw_plans(cast: Cast, pavements: dict[str, Pavement]) -> None:
    """Store a plan for each pavement whose grid is known, with panels, strata, fixed points."""
    for ground in GROUNDS:
        author = cast.as_author(author_of(ground))
        pavement = pavements[ground.key]
        if ground.grid is not None:
            add_entry(_plan(ground, pavement), **author)
        if isinstance(ground.grid, PanelGrid):
            old = add_entries(_panels(ground, pavement), **author)
            section = _section(ground, pavement, cast)
            add_entries(_renewed(ground, old, section), **author)
        panels = {p.name: p for p in pavement.panels.standing() if p.replaces_id is None}
        add_entries(_strata(ground, pavement, panels.values()), **author)
        spots = [
            fixed_point(ground, pavement, name, place, panels)
            for name, place in ground.fixed.items()
        ]
        add_entries(spots, **author)


def _plan(ground: Ground, pavement: Pavement) -> Plan:
    plan = Plan(pavement=pavement, number=1, datum=ground.datum, up=ground.up)
    if not ground.datum:
        plan.datum = "home corner of A1" if isinstance(ground.grid, PanelGrid) else "near corner"
        plan.note = "The grid was counted; no cross is cut and no tie is measured yet."
    grid = ground.grid
    if isinstance(grid, PathGrid):
        plan.kind = PlanKind.STATIONS
        plan.baseline = [[0.0, 0.0], [0.0, feet(grid.length_ft)]]
        plan.width_m, plan.offset_from = feet(grid.width_ft), "center"
        plan.outline = _rectangle(grid.width_ft, grid.length_ft)
    elif isinstance(grid, SquareGrid):
        plan.kind, plan.square_m = PlanKind.SQUARES, feet(10)
        plan.outline = _rectangle(grid.width_ft, grid.length_ft)
    else:
        plan.kind = PlanKind.PANELS
    if ground.manager == "BC-01":
        plan.ties = [{"to": to, "distance_m": feet(far)} for to, far in TIES]
        plan.check_length_m, plan.check_length_name = feet(132.0), "A1-A11"
    return plan


def _rectangle(width_ft: float, length_ft: float) -> list[list[float]]:
    right, up = feet(width_ft), feet(length_ft)
    return [[0.0, 0.0], [right, 0.0], [right, up], [0.0, up]]


def _panels(ground: Ground, pavement: Pavement) -> list[Panel]:
    grid = ground.grid
    assert isinstance(grid, PanelGrid)
    full = [
        _panel(
            pavement,
            f"{lane.letter}{n + 1}",
            (lane.right_ft, n * grid.length_ft, grid.width_ft, grid.length_ft),
        )
        for lane in grid.lanes
        for n in range(lane.panels)
    ]
    closing = [
        _panel(pavement, name, (right, up, width, length), kind="closing")
        for name, right, up, width, length in grid.closing
    ]
    for panel in full:
        panel.exists_to_on = replaced_on(ground, panel.name)
        panel.ended_as = "replaced" if panel.exists_to_on else ""
    return full + closing


def replaced_on(ground: Ground, panel: str) -> date | None:
    """Return the day on which a panel was replaced, or None."""
    return next((on for names, on in REPLACED.get(ground.key, ()) if panel in names), None)


def _section(ground: Ground, pavement: Pavement, cast: Cast) -> Section | None:
    """Store the renewed part where its warranty runs apart from the rest's."""
    if ground.key != "PP-23-07":
        return None
    row = Section(
        pavement=pavement,
        name="panels replaced in May 2025",
        area_m2=11 * feet(12) ** 2,
        from_on=date(2025, 5, 13),
        placed_on=date(2025, 5, 13),
        as_written={"placed_on": "2025-05-13/14"},
    )
    return add_entry(row, **cast.as_author(CONTRACTOR))


def _renewed(ground: Ground, old: Iterable[Panel], section: Section | None) -> list[Panel]:
    """Return the panels that took the place of replaced ones, under the same names."""
    return [
        Panel(
            pavement=panel.pavement,
            section=section,
            name=panel.name,
            right_m=panel.right_m,
            up_m=panel.up_m,
            width_m=panel.width_m,
            length_m=panel.length_m,
            placed_on=panel.exists_to_on,
            exists_from_on=panel.exists_to_on,
            replaces=panel,
            as_written={"placed_on": "2025-08"} if ground.key == "PP-19-06" else {},
        )
        for panel in old
        if panel.exists_to_on is not None
    ]


def _panel(
    pavement: Pavement, name: str, box_ft: tuple[float, float, float, float], kind: str = "full"
) -> Panel:
    right, up, width, length = (feet(side) for side in box_ft)
    return Panel(
        pavement=pavement,
        name=name,
        right_m=right,
        up_m=up,
        width_m=width,
        length_m=length,
        kind=kind,
        placed_on=pavement.placed_on if pavement.placed_on == pavement.placed_until_on else None,
    )


def _strata(ground: Ground, pavement: Pavement, panels: Iterable[Panel]) -> list[Stratum]:
    """Return the strata: with area and rectangles where the tables tell which lanes they are."""
    found = []
    for name in ground.fixed:
        kind = STRATUM_OF[name]
        letters = ground.strata.get(kind.value, "")
        mine = [p for p in panels if p.name[0] in letters]
        found.append(
            Stratum(
                pavement=pavement,
                kind=kind,
                area_m2=sum(p.width_m * p.length_m for p in mine) or None,
                rectangles=[[p.right_m, p.up_m, p.width_m, p.length_m] for p in mine],
                empties={} if mine else {"area_m2": "nk"},
                note=f"Rows {', '.join(letters)}." if mine else "",
            )
        )
    return found


def fixed_point(
    ground: Ground, pavement: Pavement, name: str, place: str, panels: dict[str, Panel]
) -> Spot:
    """Return a fixed point, unsaved. Where only its panel is written, its place in it is open."""
    spot = Spot(
        pavement=pavement,
        name=name,
        stratum=STRATUM_OF.get(name, ""),
        place=place,
        panel=panels.get(place),
        empties={} if place else {"place": "nk"},
    )
    ended = replaced_on(ground, place)
    if ended is not None:
        spot.ended_on, spot.ended_why = ended, "panel replaced"
    at = point_of(pavement, place) if place and spot.panel is None else None
    if at is not None:
        spot.right_m, spot.up_m = at
        if isinstance(ground.grid, SquareGrid):
            spot.note = "Middle of the square; the place in it is not written."
    return spot


def point_of(pavement: Pavement, place: str) -> tuple[float, float] | None:
    """Return where a station or square lies on the plan; None where no plan has such."""
    layout = layout_of(pavement)
    if layout is None or not (layout.baseline or layout.squares):
        return None
    return to_plan(read_place(place, System.INCH_POUND), layout, date.max).centre
