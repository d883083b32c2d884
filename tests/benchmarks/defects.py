"""Defects over a portfolio, stored in bulk; the same every time."""

from datetime import timedelta

from registry import models
from registry.defects import KINDS, STATES
from tests.benchmarks.portfolio import FIRST_DAY
from tests.factories import LONG_AGO

KIND_CODES, STATE_CODES = tuple(KINDS), tuple(STATES)
SEVERITIES = ("", "low", "moderate", "high")
SENT_ON = FIRST_DAY + timedelta(days=8900)
DATUM = {"datum_lon": -71.5, "datum_lat": 42.25, "bearing_of_up_deg": 30.0}


def store_defects(count: int) -> None:
    """Store `count` defects, two looks and a move each, on every second pavement there is.

    Those that were not sent to the town are entered by the side whose seat is a pavement's first.
    """
    models.Pavement.objects.update(**DATUM)
    pavements = list(models.Pavement.objects.order_by("pk").values_list("pk", flat=True))[::2]
    seats = models.Seat.objects.order_by("pk").values_list("pavement", "organisation")
    last, first = dict(seats), dict(reversed(seats))
    batch = {"batch_size": 1000}
    defects = models.Defect.objects.bulk_create(
        (_defect(n, pavements, last if n % 2 else first) for n in range(count)), **batch
    )
    models.Observation.objects.bulk_create(
        (_look(n, row, year) for n, row in enumerate(defects) for year in (0, 1)), **batch
    )
    models.DefectMove.objects.bulk_create(
        (
            models.DefectMove(defect=row, to_state=row.state, on=row.first_seen_on, at=LONG_AGO)
            for row in defects
        ),
        **batch,
    )


def _defect(n: int, pavements: list[int], organisations: dict[int, int]) -> models.Defect:
    pavement, right, up = pavements[n % len(pavements)], float(n % 11), float(n % 13)
    corners = [[right, up], [right + 1, up], [right + 1, up + 2], [right, up + 2]]
    return models.Defect(
        pavement_id=pavement,
        number=1 + n // len(pavements),
        kind=KIND_CODES[n % len(KIND_CODES)],
        state=STATE_CODES[n % len(STATE_CODES)],
        place=f"A{1 + n % 9} · {n % 11} R · {n % 13} U",
        outline=corners if n % 3 else corners[:1],
        outline_kind="area" if n % 3 else "spot",
        on_accessible_route="yes" if n % 4 == 0 else "",
        first_seen_on=FIRST_DAY + timedelta(days=7000 + n % 1500),
        entered_for_id=organisations[pavement],
        submitted_on=SENT_ON if n % 2 else None,
    )


def _look(n: int, row: models.Defect, year: int) -> models.Observation:
    return models.Observation(
        defect=row,
        seen_on=row.first_seen_on + timedelta(days=366 * year),
        method="tape",
        severity=SEVERITIES[n % len(SEVERITIES)],
        area_m2=0.5 + n % 7 + year,
        length_m=1.0 + n % 5 + year,
        lip_m=(n % 12) / 1000,
        count=1 + n % 4,
        entered_for_id=row.entered_for_id,
        submitted_on=row.submitted_on,
    )
