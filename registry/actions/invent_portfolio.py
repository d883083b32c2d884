"""Write an invented portfolio straight into the database, for measurements.

The numbers come from the model itself (`decline/simulate.py`); every run is written with readings
that give its rate, and judged by the rules every other reading is judged by.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime
from typing import TypeVar

import numpy as np
from django.db import models, transaction
from django.utils import timezone

from registry.actions.write_journal import write_line
from registry.decline.priors import PRIOR_MEANS
from registry.decline.records import METHODS, NO, YES, Records
from registry.decline.simulate import SimulateOptions, simulate_records
from registry.faults import DomainError
from registry.gathering.readings import apply_judged, gather_readings, judge_readings
from registry.measuring.reading import CONSTANT
from registry.models import (
    Cleaning,
    Criteria,
    InfiltrationTest,
    Organisation,
    Pavement,
    PavementNumber,
    Seat,
    Site,
    Spot,
)
from registry.models.choices import Role, StratumKind
from registry.models.cleaning import RESTORATIVE
from registry.units import System

RING_MM, FULL_KG, SMALL_KG = 300.0, 18.0, 3.6
PREWET_LIMIT_S = 30.0
"""ASTM C1701, from memory of the standard: a prewet of 30 s or more asks for the small amount."""
ON_A_SITE = 20
ANSWER = {YES: "yes", NO: "no"}
ENDED = {0: "drained", -1: "stopped", 1: "too_fast"}
Row = TypeVar("Row", bound=models.Model)


class AlreadyThere(DomainError):
    """The invented organisation is in the record already."""


@transaction.atomic
def invent_portfolio(*, pavements: int, seed: int, as_of: date) -> Organisation:
    """Store so many invented pavements of one invented owner; the same for the same seed.

    Raises AlreadyThere, and DeclineError for a number of pavements that makes no sense. Conditions
    and outlooks are left to be worked out.
    """
    name = f"Invented owner, seed {seed}"
    if Organisation.objects.filter(name=name).exists():
        raise AlreadyThere(f"{name} is in the record already. Take another seed.")
    options = SimulateOptions(np.datetime64(as_of))
    records = simulate_records(pavements, PRIOR_MEANS, options, np.random.default_rng(seed))
    owner = Organisation.objects.create(name=name, usual_role=Role.OWNER, system="si")
    rows = _pavements(records, owner)
    spots = _spots(records, rows)
    cleanings = _cleanings(records, rows, owner)
    _runs(records, rows, spots, cleanings, owner)
    write_line(owner, "invented", by=None, why=f"{pavements} pavements, for measurements")
    return owner


def _stored(model: type[Row], rows: Iterable[Row]) -> list[Row]:
    return model._default_manager.bulk_create(list(rows), batch_size=500)


def _pavements(records: Records, owner: Organisation) -> list[Pavement]:
    table = records.pavements
    count = len(table.ref)
    sites = _stored(
        Site,
        (
            Site(name=f"Invented site {n + 1}", time_zone="UTC", organisation=owner)
            for n in range(-(-count // ON_A_SITE))
        ),
    )
    refs, placed = table.ref.tolist(), table.placed_on.astype(object)
    rows = _stored(
        Pavement,
        (
            Pavement(
                site=sites[n // ON_A_SITE],
                name=f"Invented lot {refs[n]}",
                surface="pervious_concrete",
                area_m2=200.0 + 37.0 * (n % 80),
                placed_on=placed[n],
                sheet_system="si",
                heavy_trees=ANSWER[int(table.heavy_trees[n])],
                winter_sand=ANSWER[int(table.winter_sand[n])],
                bare_soil_run_on=ANSWER[int(table.bare_soil_run_on[n])],
                entered_for=owner,
            )
            for n in range(count)
        ),
    )
    _belongings(rows, refs, table.action_mm_h.tolist(), owner)
    return rows


def _belongings(
    rows: Sequence[Pavement], refs: Sequence[str], action_mm_h: Sequence[float], owner: Organisation
) -> None:
    """Seats, numbers and criteria."""
    first = datetime(1990, 1, 1, tzinfo=UTC)
    _stored(
        Seat,
        (Seat(pavement=p, organisation=owner, role=Role.OWNER, from_at=first) for p in rows),
    )
    _stored(
        PavementNumber,
        (
            PavementNumber(pavement=p, organisation=owner, number=ref)
            for p, ref in zip(rows, refs, strict=True)
        ),
    )
    _stored(
        Criteria,
        (
            Criteria(
                pavement=p,
                source_document="invented criteria",
                action_rate_mm_h=level,
                action_rate_is_given=True,
                entered_for=owner,
            )
            for p, level in zip(rows, action_mm_h, strict=True)
        ),
    )


def _spots(records: Records, pavements: Sequence[Pavement]) -> list[Spot]:
    table = records.spots
    strata = [
        StratumKind.RUN_ON_EDGE if edge == YES else StratumKind.FIELD for edge in table.run_on_edge
    ]
    return _stored(
        Spot,
        (
            Spot(pavement=pavements[owner], name=name, stratum=stratum)
            for owner, name, stratum in zip(
                table.pavement.tolist(), table.name.tolist(), strata, strict=True
            )
        ),
    )


def _cleanings(
    records: Records, pavements: Sequence[Pavement], owner: Organisation
) -> dict[int, list[Cleaning]]:
    """Return the stored cleanings by row of the pavement."""
    table = records.cleanings
    owners = table.pavement.tolist()
    at = table.done_at.astype(object)
    rows = _stored(
        Cleaning,
        (
            Cleaning(
                pavement=pavements[p],
                done_on=at[n].date(),
                started_at=at[n].replace(tzinfo=UTC),
                method=METHODS[int(table.method[n])],
                is_restorative=METHODS[int(table.method[n])] in RESTORATIVE,
                entered_for=owner,
            )
            for n, p in enumerate(owners)
        ),
    )
    found: dict[int, list[Cleaning]] = defaultdict(list)
    for p, row in zip(owners, rows, strict=True):
        # Whole pavements: there are no panels, and to say so saves a question for each.
        setattr(row, "_prefetched_objects_cache", {"panels": row.panels.none()})  # noqa: B010
        found[p].append(row)
    return found


def _runs(
    records: Records,
    pavements: Sequence[Pavement],
    spots: Sequence[Spot],
    cleanings: dict[int, list[Cleaning]],
    owner: Organisation,
) -> None:
    runs = records.runs
    of_pavement: dict[int, list[InfiltrationTest]] = defaultdict(list)
    at, owners = runs.started_at.astype(object), records.spots.pavement[runs.spot].tolist()
    for n, (spot, p) in enumerate(zip(runs.spot.tolist(), owners, strict=True)):
        read = _readings(float(runs.mm_h[n]), int(runs.sign[n]))
        row = InfiltrationTest(
            pavement=pavements[p],
            spot=spots[spot],
            stratum=spots[spot].stratum,
            started_on=at[n].date(),
            started_at=at[n].replace(tzinfo=UTC),
            entered_for=owner,
            **read,
        )
        of_pavement[p].append(row)
    now = timezone.now()
    for p, rows in of_pavement.items():
        readings = gather_readings(pavements[p].placed_on, rows, cleanings[p])
        for row, judged in judge_readings(readings):
            apply_judged(row, judged, now)
    _stored(InfiltrationTest, (row for rows in of_pavement.values() for row in rows))


def _readings(mm_h: float, sign: int) -> dict[str, object]:
    """Return readings that give the rate: the prewet takes as long as the rate makes it."""
    a_kg = CONSTANT[System.SI] / (RING_MM**2 * mm_h)  # seconds that 1 kg takes
    prewet = round(a_kg * SMALL_KG, 1)
    water = SMALL_KG if prewet >= PREWET_LIMIT_S else FULL_KG
    return {
        "method": "c1701",
        "system": System.SI,
        "reason": "yearly",
        "ring": RING_MM,
        "prewet_water": SMALL_KG,
        "prewet_seconds": prewet,
        "water": water,
        "seconds": round(a_kg * water, 2),
        "ended": ENDED[sign],
        "rain_within_24_h": "no",
    }
