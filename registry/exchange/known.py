"""What the record holds already of what a spreadsheet speaks of: gathered before deciding."""

import re
from collections import defaultdict
from collections.abc import Container, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import islice
from typing import Any, TypeVar

from django.db.models import Max

from registry.models import (
    Cleaning,
    InfiltrationTest,
    JournalLine,
    Organisation,
    Pavement,
    PavementNumber,
    Seat,
)
from registry.models.rights import MAY

AT_ONCE = 500
_UNNUMBERED = re.compile(r"record-[1-9][0-9]{0,17}")
Item = TypeVar("Item")


@dataclass(frozen=True, slots=True)
class KnownRef:
    """A pavement that the organisation numbers already, or sees without a number of its own."""

    pavement_id: int
    name: str
    zone: str
    site_id: int
    site_name: str
    lon: float | None
    lat: float | None
    sheet_system: str


def chunks(items: Iterable[Item], size: int = AT_ONCE) -> Iterator[list[Item]]:
    """Yield lists of at most `size`."""
    left = iter(items)
    while chunk := list(islice(left, size)):
        yield chunk


def unnumbered_ref(pavement_id: int, taken: Container[str]) -> str:
    """Return what stands in a file for a pavement without an own number; no number is the same."""
    ref = f"record-{pavement_id}"
    while ref in taken:
        ref += f"-{pavement_id}"
    return ref


OF_REF = (
    "pk", "name", "site__time_zone", "site_id", "site__name", "lon", "lat", "sheet_system",
)  # fmt: skip
"""What of a pavement makes its KnownRef, in the order of its fields."""


def known_refs(organisation: Organisation, at: datetime) -> dict[str, KnownRef]:
    """Return the pavements an organisation may mean, by what its own files call them.

    That is its number; and what writing out puts where it has none (`unnumbered_ref`), for those
    that its seats show at an instant.
    """
    rows = PavementNumber.objects.filter(
        organisation=organisation,
        is_taken_back=False,
        to_on__isnull=True,
        pavement__void_at__isnull=True,
    ).values_list("number", *(f"pavement__{name}" for name in OF_REF))
    refs = {row[0]: KnownRef(*row[1:]) for row in rows.iterator(chunk_size=2000)}
    seats = Seat.objects.begun_by(at).filter(organisation=organisation, role__in=MAY["read"])
    shown = Pavement.objects.filter(void_at__isnull=True, pk__in=seats.values("pavement"))
    for row in shown.values_list(*OF_REF).iterator(chunk_size=2000):
        refs[unnumbered_ref(row[0], refs)] = KnownRef(*row)
    return refs


def void_unnumbered(refs: Iterable[str], organisation: Organisation) -> set[str]:
    """Return which of these stand for a void pavement at which the organisation had a seat."""
    ids = {ref.removeprefix("record-"): ref for ref in refs if _UNNUMBERED.fullmatch(ref)}
    rows = Seat.objects.filter(
        organisation=organisation,
        pavement__in=[int(pk) for pk in ids],
        pavement__void_at__isnull=False,
    )
    return {ids[str(pk)] for pk in rows.values_list("pavement_id", flat=True)}


def numbers_in_use(organisation: Organisation, refs: Iterable[str]) -> set[str]:
    """Return which of these numbers an organisation uses, those of void pavements included."""
    used: set[str] = set()
    for chunk in chunks(refs):
        rows = PavementNumber.objects.filter(
            organisation=organisation, number__in=chunk, is_taken_back=False, to_on__isnull=True
        )
        used.update(rows.values_list("number", flat=True))
    return used


def pavements_by_id(ids: Sequence[int]) -> Iterator[Pavement]:
    """Yield pavements with what a row of the file of pavements is compared with."""
    for chunk in chunks(ids):
        rows = Pavement.objects.filter(pk__in=chunk).select_related("site")
        yield from rows.prefetch_related("criteria", "run_on_areas")


def roles_of(organisation: Organisation, ids: Iterable[int], at: datetime) -> dict[int, set[str]]:
    """Return the roles an organisation holds at each of these pavements."""
    roles: dict[int, set[str]] = defaultdict(set)
    for chunk in chunks(ids):
        held = Seat.objects.held_at(at).filter(organisation=organisation, pavement__in=chunk)
        for pavement_id, role in held.values_list("pavement_id", "role"):
            roles[pavement_id].add(role)
    return roles


TestKey = tuple[int, str, date, datetime | None]
COMPARED = (
    "method",
    "system",
    "ring",
    "water",
    "seconds",
    "ended",
    "prewet_water",
    "prewet_seconds",
    "stratum",
    "rain_within_24_h",
    "reason",
    "water_left",
    "note",
)
"""Fields by which a run of the file is told from the same run in the record."""


def known_tests(ids: Iterable[int], hidden: Container[int]) -> dict[TestKey, list[tuple[Any, ...]]]:
    """Return the runs of these pavements as (run, *COMPARED), by pavement, point, day, instant.

    A hidden one, by key, is (run,) alone.
    """
    found: dict[TestKey, list[tuple[Any, ...]]] = defaultdict(list)
    for chunk in chunks(ids):
        rows = InfiltrationTest.objects.standing().filter(pavement__in=chunk, state="done")
        for row in rows.values_list(
            "pavement_id", "spot__name", "started_on", "started_at", "pk", "run", *COMPARED
        ).iterator(chunk_size=2000):
            found[row[:4]].append(row[5:6] if row[4] in hidden else row[5:])
    return found


CleaningKey = tuple[int, date, datetime | None]


def known_cleanings(ids: Iterable[int]) -> dict[CleaningKey, list[Cleaning]]:
    """Return the cleanings of these pavements by pavement, day and instant."""
    found: dict[CleaningKey, list[Cleaning]] = defaultdict(list)
    for chunk in chunks(ids):
        for row in Cleaning.objects.filter(pavement__in=chunk).done():
            found[row.pavement_id, row.done_on, row.started_at].append(row)
    return found


def mark_of(organisation: Organisation, ids: Sequence[int]) -> tuple[int, ...]:
    """Return what grows with every change that could matter: taken before deciding, and after."""
    numbers = PavementNumber.objects.filter(organisation=organisation)
    marks = [
        numbers.aggregate(last=Max("pk"))["last"] or 0,
        numbers.filter(is_taken_back=True).count(),
    ]
    for chunk in chunks(ids):
        lines = JournalLine.objects.filter(pavement__in=chunk)
        marks.append(lines.aggregate(last=Max("pk"))["last"] or 0)
    return tuple(marks)
