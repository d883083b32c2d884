"""What cleanings of a time regained, by method and by machine: rows gathered for the pure rule."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import prefetch_related_objects

from registry.gathering.gains import days_by_spot, gains_among
from registry.models import Cleaning, CleaningMethod, InfiltrationTest, Machine
from registry.models.cleaning import CleaningQuerySet
from registry.models.infiltration_test import InfiltrationTestQuerySet
from registry.planning.method_recovery import CleaningGains, MethodRecovery, recovery_of

NO_MACHINE = "a machine not written down"
PARTS = ("before_tests", "after_tests", "panels")


@dataclass(frozen=True)
class RecoveryRow:
    """One line: a method, or a machine under it; `machine_id` where it is one on the record."""

    method: str
    words: str
    machine: str
    machine_id: int | None
    result: MethodRecovery


def recovery_rows(
    cleanings: CleaningQuerySet,
    tests: InfiltrationTestQuerySet,
    *,
    since: date,
    until: date,
    machine: Machine | None = None,
) -> list[RecoveryRow]:
    """Return for each method its whole and then its machines, as cleaned in a span of days.

    cleanings  of all pavements that may be read;  tests  of the same pavements
    machine    only what was done with it; None: all
    """
    done = cleanings.done().select_related("swept_with")
    if machine is not None:
        done = done.filter(swept_with=machine)
    within = list(done.filter(done_on__gte=since, done_on__lte=until).in_order())
    if not within:
        return []
    return _rows(list(_gains(within, cleanings, tests)))


def _gains(
    within: list[Cleaning], cleanings: CleaningQuerySet, tests: InfiltrationTestQuerySet
) -> Iterable[tuple[Cleaning, CleaningGains]]:
    places = {row.pavement_id for row in within}
    beside: dict[int, list[InfiltrationTest]] = defaultdict(list)
    there = tests.standing().filter(pavement__in=places).in_order()
    for test in there.select_related("spot", "pavement__site"):
        beside[test.pavement_id].append(test)
    others: dict[int, list[Cleaning]] = defaultdict(list)
    restorative = list(cleanings.restorative().filter(pavement__in=places))
    prefetch_related_objects([*within, *restorative], *PARTS)
    for row in restorative:
        others[row.pavement_id].append(row)
    days = {place: days_by_spot(beside[place]) for place in places}
    for row in within:
        found = gains_among(row, days[row.pavement_id], others[row.pavement_id])
        gains = tuple(one.result for one in found)
        yield row, CleaningGains(row.pavement_id, row.method, _machine(row), gains)


def _machine(row: Cleaning) -> str:
    return str(row.swept_with) if row.swept_with else row.machine.strip() or NO_MACHINE


def _rows(gathered: list[tuple[Cleaning, CleaningGains]]) -> list[RecoveryRow]:
    by_method: dict[str, list[tuple[Cleaning, CleaningGains]]] = defaultdict(list)
    for row, gains in gathered:
        by_method[row.method].append((row, gains))
    found = []
    for method in (code for code in CleaningMethod.values if code in by_method):
        words, of_method = str(CleaningMethod(method).label), by_method[method]
        found.append(RecoveryRow(method, words, "", None, recovery_of(g for _, g in of_method)))
        machines: dict[tuple[str, int | None], list[CleaningGains]] = defaultdict(list)
        for row, gains in of_method:
            machines[gains.machine, row.swept_with_id].append(gains)
        for (name, pk), of_machine in sorted(machines.items(), key=lambda item: item[0][0]):
            found.append(RecoveryRow(method, words, name, pk, recovery_of(of_machine)))
    return found
