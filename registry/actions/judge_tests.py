"""Judge the infiltration tests of pavements anew: results, doubts and use, from the rows alone."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from itertools import islice

from django.db import transaction
from django.utils import timezone

from registry.gathering.readings import (
    JUDGED_FIELDS,
    apply_judged,
    gather_readings,
    judge_readings,
)
from registry.models import Cleaning, InfiltrationTest, Pavement

AT_ONCE = 200
"""Pavements fetched together."""


@transaction.atomic
def judge_tests(pavement_ids: Iterable[int]) -> int:
    """Judge all tests of these pavements; return how many rows changed. Safe to repeat."""
    ids = iter(sorted(set(pavement_ids)))
    changed = 0
    while chunk := list(islice(ids, AT_ONCE)):
        changed += _judge_chunk(chunk)
    return changed


def _judge_chunk(ids: Sequence[int]) -> int:
    # Held first: no row can be taken away between reading it and writing it back.
    placed = dict(Pavement.objects.filter(pk__in=ids).held().values_list("pk", "placed_on"))
    tests: dict[int, list[InfiltrationTest]] = defaultdict(list)
    for row in InfiltrationTest.objects.filter(pavement__in=ids).select_related("spot"):
        tests[row.pavement_id].append(row)
    cleanings: dict[int, list[Cleaning]] = defaultdict(list)
    for cleaning in Cleaning.objects.filter(pavement__in=ids).done().prefetch_related("panels"):
        cleanings[cleaning.pavement_id].append(cleaning)
    at = timezone.now()
    changed = []
    for pk in ids:
        readings = gather_readings(placed.get(pk), tests[pk], cleanings[pk])
        changed += [row for row, j in judge_readings(readings) if apply_judged(row, j, at)]
    _store(changed)
    return len(changed)


def _store(changed: list[InfiltrationTest]) -> None:
    """Write the judged columns alone, by inserts that meet their own row.

    An update in bulk spells a case for every row and column, which takes eight times as long.
    """
    InfiltrationTest.objects.bulk_create(
        changed,
        update_conflicts=True,
        unique_fields=["id"],
        update_fields=[*JUDGED_FIELDS, "computed_at"],
        batch_size=500,
    )
