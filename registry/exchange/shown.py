"""What organisations may see of the record, in portions, for writing it out.

The same rules as for a page (`models.rights`, `models.sight`), asked for many pavements at once.
"""

from collections import defaultdict
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from django.db.models import Q

from registry.exchange.defect_known import KnownDefect, gather_defects
from registry.exchange.known import chunks, unnumbered_ref
from registry.models import Cleaning, InfiltrationTest, Pavement, PavementNumber, Seat
from registry.models.cleaning import CleaningQuerySet
from registry.models.infiltration_test import InfiltrationTestQuerySet
from registry.models.rights import MAY, READERS_OF_ALL, Rights, rights_of
from registry.models.sight import (
    cleanings_shown,
    defects_shown,
    observations_shown,
    tests_shown,
)

AT_ONCE = 100
"""Pavements in a portion; also keeps the conditions of one query few."""


@dataclass(frozen=True)
class ShownPavement:
    """A pavement under its ref, with what of it may be seen."""

    ref: str
    other_ref: str
    pavement: Pavement
    sees_criteria: bool
    tests: list[InfiltrationTest]
    cleanings: list[Cleaning]
    defects: list[KnownDefect]


def shown_pavements(
    organisations: Collection[int], at: datetime, *, with_records: bool = True
) -> Iterator[ShownPavement]:
    """Yield all that these organisations may see at an instant, in order of ref.

    Without records no test, cleaning or defect is fetched. The ref is a number that one of them
    gives; "record-12" where none of them numbers it, which `known_refs` finds again.
    """
    refs = _refs(organisations, at)
    for chunk in chunks(sorted((ref, pk) for pk, ref in refs.items()), AT_ONCE):
        yield from _portion([pk for _, pk in chunk], refs, organisations, at, with_records)


def _refs(organisations: Collection[int], at: datetime) -> dict[int, str]:
    seats = Seat.objects.begun_by(at).filter(
        organisation__in=organisations, role__in=MAY["read"], pavement__void_at__isnull=True
    )
    refs = dict.fromkeys(seats.values_list("pavement_id", flat=True).distinct(), "")
    numbers = PavementNumber.objects.filter(
        organisation__in=organisations, is_taken_back=False, to_on__isnull=True
    ).order_by("pk")
    given: set[str] = set()
    elsewhere: set[str] = set()
    for pk, number in numbers.values_list("pavement_id", "number").iterator(chunk_size=2000):
        if refs.get(pk) == "" and number.strip() not in given:
            refs[pk] = number.strip()
            given.add(refs[pk])
        else:
            elsewhere.add(number.strip())
    taken = given | elsewhere
    return {pk: ref or unnumbered_ref(pk, taken) for pk, ref in refs.items()}


def _portion(
    ids: list[int],
    refs: dict[int, str],
    organisations: Collection[int],
    at: datetime,
    with_records: bool,
) -> Iterator[ShownPavement]:
    pavements = (
        Pavement.objects.filter(pk__in=ids)
        .select_related("site")
        .prefetch_related("criteria", "run_on_areas", "numbers")
    )
    by_id = {pavement.pk: pavement for pavement in pavements}
    rights = rights_at_once(by_id, organisations, at)
    records = _Records.of(by_id, rights) if with_records else _Records({}, {}, {})
    for pk in ids:
        yield ShownPavement(
            ref=refs[pk],
            other_ref=_other_ref(by_id[pk], organisations),
            pavement=by_id[pk],
            sees_criteria=rights[pk].sees_criteria,
            tests=records.tests.get(pk, []),
            cleanings=records.cleanings.get(pk, []),
            defects=records.defects.get(pk, []),
        )


@dataclass(frozen=True)
class _Records:
    """What was read and done at some pavements, by pavement."""

    tests: dict[int, list[InfiltrationTest]]
    cleanings: dict[int, list[Cleaning]]
    defects: dict[int, list[KnownDefect]]

    @classmethod
    def of(cls, by_id: dict[int, Pavement], rights: dict[int, Rights]) -> "_Records":
        tests: dict[int, list[InfiltrationTest]] = defaultdict(list)
        for test in tests_at(by_id, rights).filter(state="done").select_related("spot"):
            tests[test.pavement_id].append(test)
        cleanings: dict[int, list[Cleaning]] = defaultdict(list)
        for cleaning in cleanings_at(by_id, rights).done():
            cleanings[cleaning.pavement_id].append(cleaning)
        return cls(tests, cleanings, _defects_of(rights))


def rights_at_once(
    pavements: dict[int, Pavement], organisations: Collection[int], at: datetime
) -> dict[int, Rights]:
    """Return what organisations may see at each of these pavements."""
    seats: dict[int, list[Seat]] = defaultdict(list)
    held = Seat.objects.begun_by(at).filter(
        organisation__in=organisations, pavement__in=pavements.keys()
    )
    for seat in held.select_related("organisation").order_by("pk"):
        seats[seat.pavement_id].append(seat)
    return {pk: rights_of(seats[pk], pavement, at) for pk, pavement in pavements.items()}


def known_defects(
    ids: Collection[int], organisation: int, at: datetime
) -> dict[int, list[KnownDefect]]:
    """Return the defects that an organisation may see at these pavements, by pavement."""
    found: dict[int, list[KnownDefect]] = {}
    for chunk in chunks(sorted(ids), AT_ONCE):
        rows = Pavement.objects.filter(pk__in=chunk).select_related("site")
        by_id = {pavement.pk: pavement for pavement in rows}
        found |= _defects_of(rights_at_once(by_id, [organisation], at))
    return found


def _defects_of(rights: dict[int, Rights]) -> dict[int, list[KnownDefect]]:
    all_read = [pk for pk, held in rights.items() if held.roles & READERS_OF_ALL]
    rows, looks = Q(pavement__in=all_read), Q(defect__pavement__in=all_read)
    for pk, held in rights.items():
        if pk not in all_read:
            rows |= Q(pavement=pk) & defects_shown(held)
            looks |= Q(defect__pavement=pk) & observations_shown(held)
    return gather_defects(rows, looks)


def tests_at(pavements: dict[int, Pavement], rights: dict[int, Rights]) -> InfiltrationTestQuerySet:
    """Return the standing tests of these pavements that their rights show."""
    return InfiltrationTest.objects.standing().filter(_shown(pavements, rights, of="tests"))


def cleanings_at(pavements: dict[int, Pavement], rights: dict[int, Rights]) -> CleaningQuerySet:
    """Return the cleanings of these pavements that their rights show."""
    return Cleaning.objects.filter(_shown(pavements, rights, of="cleanings"))


def _shown(pavements: dict[int, Pavement], rights: dict[int, Rights], *, of: str) -> Q:
    condition_of = tests_shown if of == "tests" else cleanings_shown
    all_read = [pk for pk in pavements if rights[pk].roles & READERS_OF_ALL]
    shown = Q(pavement__in=all_read)
    for pk, pavement in pavements.items():
        if pk not in all_read:
            zone = ZoneInfo(pavement.site.time_zone)
            shown |= Q(pavement=pk) & condition_of(rights[pk], zone)
    return shown


def _other_ref(pavement: Pavement, organisations: Collection[int]) -> str:
    if written := pavement.written("other_ref"):
        return written
    others = [
        number
        for number in pavement.numbers.all()
        if number.organisation_id not in organisations
        and not number.is_taken_back
        and number.to_on is None
    ]
    return others[0].number if others else ""
