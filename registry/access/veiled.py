"""What a doubt about a run may tell of entries that a reader does not see."""

from collections.abc import Callable

from django.db.models import Exists, OuterRef

from registry.models import Cleaning, InfiltrationTest, Pavement, Person
from registry.models.cleaning import CleaningQuerySet
from registry.models.infiltration_test import InfiltrationTestQuerySet
from registry.once import kept


def veiled_tests(
    person: Person, pavement: Pavement, tests: InfiltrationTestQuerySet, cleanings: CleaningQuerySet
) -> InfiltrationTestQuerySet:
    """Return these tests, veiled where the record holds more than these tests and cleanings."""
    return tests.veiled_where(hidden_from(person, pavement, tests, cleanings))


def hidden_from(
    person: Person, pavement: Pavement, tests: InfiltrationTestQuerySet, cleanings: CleaningQuerySet
) -> Callable[[], bool]:
    """Return what says whether a pavement has other tests or cleanings: one query, once a page."""

    def has_more() -> bool:
        own = {"pavement": OuterRef("pk")}
        other_tests = InfiltrationTest.objects.filter(**own).exclude(pk__in=tests.values("pk"))
        other_cleanings = Cleaning.objects.filter(**own).exclude(pk__in=cleanings.values("pk"))
        here = Pavement.objects.filter(pk=pavement.pk)
        return here.filter(Exists(other_tests) | Exists(other_cleanings)).exists()

    return lambda: kept(("hides readings", pavement.pk, person.pk), has_more)
