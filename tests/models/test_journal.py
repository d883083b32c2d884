"""A line of the journal is about one row of one kind, and names its fields as pages do."""

import pytest

from registry.models import JournalLine
from tests.factories import PavementFactory, SiteFactory

pytestmark = pytest.mark.django_db


def test_lines_about_a_row_are_not_those_of_another_kind_with_its_number():
    lot = PavementFactory()
    site = SiteFactory(pk=lot.pk + 1000)
    own = JournalLine.objects.create(subject_kind="pavement", subject_id=site.pk, verb="added")
    JournalLine.objects.create(subject_kind="site", subject_id=site.pk, verb="added")
    lot.pk = site.pk
    assert JournalLine.objects.about(lot).get() == own


@pytest.mark.parametrize(
    ("kind", "field", "word"),
    [
        ("pavement", "area_m2", "area"),
        ("pavement", "was_cut", "was cut"),
        ("gone", "area_m2", "area m2"),
    ],
)
def test_field_is_called_what_pages_call_it_and_a_field_that_is_gone_by_its_name(kind, field, word):
    assert JournalLine(subject_kind=kind).word_for(field) == word
