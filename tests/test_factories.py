"""Every factory makes a row that its own table takes."""

import pytest
from django.db.models import JSONField
from factory.django import DjangoModelFactory

from tests import factories, placing_factories

EMPTY = (list, dict)
"""What a column of lists or facts holds where nobody said anything."""

FACTORIES = [
    made
    for made in (vars(factories) | vars(placing_factories)).values()
    if isinstance(made, type)
    and not made.__name__.startswith("_")
    and issubclass(made, DjangoModelFactory)
    and made is not DjangoModelFactory
]


@pytest.mark.django_db
@pytest.mark.parametrize("made", FACTORIES, ids=lambda made: made.__name__)
def test_two_rows_of_a_factory_are_valid_and_apart(made: type[DjangoModelFactory]):
    first, second = made(), made()
    unset = {f.name for f in first._meta.fields if f.is_relation and not f.editable}
    unset |= {f.name for f in first._meta.fields if isinstance(f, JSONField) and f.default in EMPTY}
    unset |= {"password", "strata", "no_longer_enough"}  # may be empty, as lists and facts may
    second.full_clean(exclude=unset)
    assert first.pk != second.pk
