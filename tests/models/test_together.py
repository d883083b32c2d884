"""Rows fetched together are the rows fetched one table after the other, on every database."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from registry.models import (
    Cleaning,
    Criteria,
    DirtSource,
    InfiltrationTest,
    Layer,
    Pavement,
    Section,
    Structure,
)
from registry.models.together import together
from tests.factories import (
    CleaningFactory,
    CriteriaFactory,
    DirtSourceFactory,
    InfiltrationTestFactory,
    PavementFactory,
    SectionFactory,
)

AT = datetime(2024, 3, 10, 6, 59, 59, 123456, tzinfo=UTC)


@pytest.fixture
def lot(db: None) -> Pavement:
    lot = PavementFactory(
        datum_lon=-72.123456789012345, datum_lat=41.7, accepted_on=date(2020, 2, 29)
    )
    section = SectionFactory(pavement=lot)
    CriteriaFactory(pavement=lot, section=section, intensity_mm_h=0.1 + 0.2)
    CriteriaFactory(pavement=lot, empties={"factor": "nk"}, as_written={"factor": "½ “or so”"})
    structure = Structure.objects.create(pavement=lot, section=section, soil_rate_mm_h=1e-7)
    Layer.objects.create(structure=structure, kind="base", depth_mm=152.4)
    CleaningFactory(pavement=lot, cost=Decimal("120.50"), started_at=AT, covers_all=False)
    CleaningFactory(pavement=lot, void_at=AT, void_why="twice", note="é")
    InfiltrationTestFactory(
        pavement=lot, started_at=AT, doubts=[{"code": "wet", "n": [1, 2.5, None]}]
    )
    DirtSourceFactory()
    return lot


def asked(lot: Pavement) -> list:
    return [
        Criteria.objects.filter(pavement=lot).select_related("section"),
        DirtSource.objects.filter(pavement=lot),
        Structure.objects.filter(pavement=lot).prefetch_related("layers"),
        Cleaning.objects.filter(pavement=lot),
        InfiltrationTest.objects.filter(pavement=lot),
        Pavement.objects.filter(pk__in=[lot.pk]),
        Section.objects.filter(pk__in=[]),
    ]


def columns(row) -> dict:
    values = {f.attname: getattr(row, f.attname) for f in row._meta.concrete_fields}
    return {name: (type(value), value) for name, value in values.items()}


def test_each_row_holds_what_it_holds_when_asked_for_alone(lot: Pavement):
    found = together(*asked(lot))
    alone = [list(rows.order_by("pk")) for rows in asked(lot)]
    assert [[columns(r) for r in rows] for rows in found] == [
        [columns(r) for r in rows] for rows in alone
    ]
    assert [len(rows) for rows in found] == [2, 0, 1, 2, 1, 1, 0]
    assert not found[0][0]._state.adding


def test_relations_that_were_asked_for_come_with_the_rows(lot, django_assert_num_queries):
    with django_assert_num_queries(3):  # all tables, sections of criteria, layers
        criteria, _, structures, *_ = together(*asked(lot))
        assert criteria[0].section.name and criteria[1].section is None
        assert [layer.depth_mm for layer in structures[0].layers.all()] == [152.4]


def test_a_place_that_two_tables_share_is_never_taken_for_the_other_s(lot: Pavement):
    cleanings, sections = together(
        Cleaning.objects.filter(pavement=lot, cost__isnull=True),
        Section.objects.filter(pavement=lot),
    )
    assert [row.note for row in cleanings] == ["é"]
    assert [type(row) for row in sections] == [Section]


def test_questions_that_leave_nothing_are_not_put(db, django_assert_num_queries):
    with django_assert_num_queries(0):
        assert together(Section.objects.none(), Cleaning.objects.filter(pk__in=[])) == [[], []]
