"""Every factory makes a row that its own table takes."""

import pytest
from factory.django import DjangoModelFactory

from tests import factories

FACTORIES = [
    made
    for made in vars(factories).values()
    if isinstance(made, type)
    and issubclass(made, DjangoModelFactory)
    and made is not DjangoModelFactory
]


@pytest.mark.django_db
@pytest.mark.parametrize("made", FACTORIES, ids=lambda made: made.__name__)
def test_two_rows_of_a_factory_are_valid_and_apart(made: type[DjangoModelFactory]):
    first, second = made(), made()
    unset = {f.name for f in first._meta.fields if f.is_relation and not f.editable}
    second.full_clean(exclude=unset | {"password", "strata"})  # both may be empty
    assert first.pk != second.pk
