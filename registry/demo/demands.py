"""What the town asks of its pavements: dated criteria, run-on, and what brings dirt."""

from datetime import date

from registry.actions.add_entry import add_entry
from registry.demo.ground import GROUNDS, Ground
from registry.demo.people import MANAGER, TOWN, Cast
from registry.demo.tables import Line, inches_an_hour, number, read_table, square_feet
from registry.models import Criteria, DirtSource, Pavement, RunOnArea

INTENSITY_IN_H, FLOOR_IN_H, FACTOR = 3.2, 10.0, 2.0
PAVED, SOIL = 0.95, 0.35
SLOPE_CUT_OFF = date(2025, 8, 29)
"""From this day the slope behind PP-19-06 drains elsewhere (tables 2G, 3A)."""


def ask_of_pavements(cast: Cast, pavements: dict[str, Pavement]) -> None:
    """Store criteria and run-on areas; action levels follow from them and are never typed."""
    register = {line["town no."]: line for line in read_table("3A_register")}
    for ground in GROUNDS:
        entry = register.get(ground.town)
        if entry is None or entry["run-on ratio"] == "-":
            continue
        for area in _run_on(pavements[ground.key], ground, entry):
            add_entry(area, **cast.as_author(TOWN))
        for asked in _criteria(pavements[ground.key], ground):
            add_entry(asked, **cast.as_author(TOWN))
    for source in _dirt(pavements):
        add_entry(source, **cast.as_author(MANAGER if source.stopped_on else TOWN))


def _run_on(pavement: Pavement, ground: Ground, entry: Line) -> list[RunOnArea]:
    paved, soil = number(entry["run-on, paved ft²"]), number(entry["run-on, soil or grass ft²"])
    rows = []
    if paved:
        rows.append(run_on(pavement, "paved", paved, PAVED))
    if soil and ground.key == "PP-19-06":
        slope = run_on(pavement, "bare_soil", soil, SOIL)
        slope.name = "slope behind the lot"
        slope.known_by, slope.known_on = "levelled", date(2024, 11, 18)
        slope.to_on = SLOPE_CUT_OFF
        slope.note = "Counted by nobody before the owner's engineer measured it in 2024."
        rows.append(slope)
    elif soil:
        rows.append(run_on(pavement, "lawn", soil, SOIL))
    return rows


def run_on(pavement: Pavement, kind: str, area_ft2: float, coefficient: float) -> RunOnArea:
    """Return a run-on area as the register has it, unsaved."""
    return RunOnArea(
        pavement=pavement,
        kind=kind,
        area_m2=square_feet(area_ft2),
        runoff_coefficient=coefficient,
        known_by="plan",
        as_written={"area_m2": f"{area_ft2:,.0f} ft²"},
    )


def criteria(
    pavement: Pavement, source: str, from_on: date | None = None, to_on: date | None = None
) -> Criteria:
    """Return the town's criteria of a pavement, unsaved."""
    return Criteria(
        pavement=pavement,
        source_document=source,
        from_on=from_on,
        to_on=to_on,
        intensity_mm_h=inches_an_hour(INTENSITY_IN_H),
        intensity_source="town permit",
        floor_mm_h=inches_an_hour(FLOOR_IN_H),
        factor=FACTOR,
        statement_due_month=7,
        statement_due_day=31,
        as_written={"intensity_mm_h": "3.2 in/h", "floor_mm_h": "10 in/h"},
    )


def _criteria(pavement: Pavement, ground: Ground) -> list[Criteria]:
    source = f"stormwater permit {ground.town}"
    if ground.key != "PP-19-06":
        return [criteria(pavement, source)]
    changed = criteria(pavement, f"{source}, as changed at the town's finding F-24-03")
    changed.from_on = SLOPE_CUT_OFF
    changed.test_interval_months = 6
    changed.note = "Statement accepted with the condition: test twice a year until 2028."
    return [criteria(pavement, source, to_on=SLOPE_CUT_OFF), changed]


def _dirt(pavements: dict[str, Pavement]) -> list[DirtSource]:
    return [
        DirtSource(
            pavement=pavements["PP-22-05"],
            kind="bare_slope",
            detail="grass slope above row B, still drains to the lot",
            brings="silt",
            who_can_stop_it=TOWN,
            seen_on=date(2026, 7, 21),
        ),
        DirtSource(
            pavement=pavements["PP-19-06"],
            kind="bare_slope",
            detail="slope behind the lot, left unseeded in 2019",
            brings="silt",
            strength="much",
            who_can_stop_it="Larch Row Shops Assoc.",
            seen_on=date(2024, 11, 18),
            stopped_on=SLOPE_CUT_OFF,
        ),
    ]
