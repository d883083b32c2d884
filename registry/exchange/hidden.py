"""What of the record a spreadsheet may not be compared with: no difference tells what it says."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from datetime import datetime

from django.db.models import QuerySet

from registry.exchange.columns import SWEEPS, TESTS
from registry.exchange.known import chunks, roles_of
from registry.exchange.shown import AT_ONCE, cleanings_at, rights_at_once, tests_at
from registry.models import Cleaning, InfiltrationTest, Organisation, Pavement
from registry.models.rights import MAY, READERS_OF_ALL

WRITES = {TESTS: "record_test", SWEEPS: "record_cleaning"}


@dataclass
class Hidden:
    """Keys of tests and cleanings that an organisation's seats do not show, at some pavements.

    writers  by table, the pavements at which it writes all the same: only there is it told that
             something is recorded; elsewhere it is told that it writes nothing
    """

    tests: set[int] = field(default_factory=set)
    cleanings: set[int] = field(default_factory=set)
    writers: dict[str, set[int]] = field(default_factory=lambda: {TESTS: set(), SWEEPS: set()})

    def hides_any(self, tests: Iterable[InfiltrationTest], cleanings: Iterable[Cleaning]) -> bool:
        """Say whether one of these is hidden: doubts that compare with it tell of it."""
        return any(t.pk in self.tests for t in tests) or any(
            c.pk in self.cleanings for c in cleanings
        )


def gather_hidden(ids: Collection[int], organisation: Organisation, at: datetime) -> Hidden:
    """Return what is hidden at these pavements; nothing is asked of those that are read whole."""
    hidden = Hidden()
    for chunk in chunks(sorted(ids), AT_ONCE):
        rows = Pavement.objects.filter(pk__in=chunk).select_related("site")
        by_id = {pavement.pk: pavement for pavement in rows}
        rights = rights_at_once(by_id, [organisation.pk], at)
        partly = {pk: by_id[pk] for pk in by_id if not rights[pk].roles & READERS_OF_ALL}
        if not partly:
            continue
        tests = InfiltrationTest.objects.standing().filter(pavement__in=partly)
        hidden.tests |= _keys(tests.exclude(pk__in=tests_at(partly, rights).values("pk")))
        cleanings = Cleaning.objects.filter(pavement__in=partly)
        hidden.cleanings |= _keys(
            cleanings.exclude(pk__in=cleanings_at(partly, rights).values("pk"))
        )
        roles = roles_of(organisation, partly, at)
        for table, what in WRITES.items():
            hidden.writers[table] |= {pk for pk in partly if roles[pk] & MAY[what]}
    return hidden


def _keys(rows: QuerySet[InfiltrationTest] | QuerySet[Cleaning]) -> set[int]:
    return set(rows.values_list("pk", flat=True))
