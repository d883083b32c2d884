"""What a doubt about a run may tell of entries that a reader does not see."""

from django.db.models import BooleanField, Exists, ExpressionWrapper

from registry.models import Cleaning, InfiltrationTest, Pavement
from registry.models.cleaning import CleaningQuerySet
from registry.models.infiltration_test import InfiltrationTestQuerySet


def veiled_tests(
    pavement: Pavement, tests: InfiltrationTestQuerySet, cleanings: CleaningQuerySet
) -> InfiltrationTestQuerySet:
    """Return these tests, veiled where the pavement has more than these tests and cleanings."""
    all_tests = InfiltrationTest.objects.filter(pavement=pavement.pk)
    all_cleanings = Cleaning.objects.filter(pavement=pavement.pk)
    more = Exists(all_tests.exclude(pk__in=tests.values("pk"))) | Exists(
        all_cleanings.exclude(pk__in=cleanings.values("pk"))
    )
    return tests.veiled_where(ExpressionWrapper(more, output_field=BooleanField()))
