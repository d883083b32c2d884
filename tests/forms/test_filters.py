"""Each filter of the list keeps what it says and nothing else; what cannot be read is named."""

from datetime import UTC, date, datetime

import pytest
from django.http import QueryDict

from registry.forms.filters import SORTS, PavementFilters
from registry.models import Outlook, Pavement, PavementStanding
from registry.models.choices import Role
from tests.factories import (
    NumberFactory,
    PavementFactory,
    PersonFactory,
    SeatFactory,
    StandingFactory,
)

pytestmark = pytest.mark.django_db
AT = datetime(2026, 6, 1, 12, tzinfo=UTC)


def filters(query, system="inch_pound"):
    return PavementFilters(
        QueryDict(query),
        Pavement.objects.all(),
        standings=PavementStanding.objects.filter(viewpoint="holder"),
        outlooks=Outlook.objects.all(),
        person=PersonFactory(shown_system=system),
        at=AT,
    )


def found(query, system="inch_pound"):
    return [p.name for p in filters(query, system).qs]


@pytest.fixture
def two():
    """Two pavements that differ in everything a filter asks."""
    old = PavementFactory(
        name="A, old",
        site__name="Mill Race",
        site__address="9 Quay",
        surface="pervious_concrete",
        area_m2=100.0,
        placed_on=date(2015, 6, 1),
    )
    new = PavementFactory(
        name="B, new",
        site__name="Tannery Row",
        site__address="14 Canal St",
        surface="permeable_pavers",
        area_m2=1000.0,
        placed_on=date(2023, 6, 1),
    )
    StandingFactory(
        pavement=old,
        word="clean",
        action_rate_mm_h=254.0,
        lowest_mm_h=100.0,
        last_tested_on=date(2024, 5, 1),
        next_test_due_on=date(2025, 5, 1),
    )
    StandingFactory(
        pavement=new,
        word="working",
        action_rate_mm_h=317.5,
        lowest_mm_h=9000.0,
        last_tested_on=date(2026, 5, 1),
        next_test_due_on=date(2027, 5, 1),
    )
    NumberFactory(pavement=old, number="BC-01")
    SeatFactory(pavement=old, role=Role.OWNER, organisation__name="Canal Street Holdings")
    SeatFactory(pavement=new, role=Role.OWNER, organisation__name="Fennel Trust")
    return old, new


@pytest.mark.parametrize(
    ("query", "kept"),
    [
        ("", "AB"),
        ("text=old", "A"),
        ("text=tannery", "B"),
        ("text=canal+st", "B"),
        ("text=bc-01", "A"),
        ("owner=fennel", "B"),
        ("surface=permeable_pavers", "B"),
        ("surface=permeable_pavers&surface=pervious_concrete", "AB"),
        ("word=clean", "A"),
        ("word=clean&word=working", "AB"),
        ("area_from=5000", "B"),
        ("area_from=500+m2", "B"),
        ("area_to=5000", "A"),
        ("action_from=11", "B"),
        ("action_to=300+mm/h", "A"),
        ("placed_from=2020-01-01", "B"),
        ("placed_to=2020-01-01", "A"),
        ("tested_from=2025-01-01", "B"),
        ("tested_to=2025-01-01", "A"),
        ("overdue=on", "A"),
        ("never_tested=on", ""),
        ("word=clean&surface=permeable_pavers", ""),
        ("word=clean&tested_from=2025-01-01", ""),
    ],
)
def test_filter_keeps_what_it_says(two, query, kept):
    assert [name[0] for name in found(query)] == list(kept)


def test_bare_number_is_read_in_the_viewers_units(two):
    assert found("area_from=500", system="si") == ["B, new"]
    assert found("area_from=500", system="inch_pound") == ["A, old", "B, new"]


@pytest.mark.parametrize(
    ("sort", "order"),
    [
        ("name", "AB"),
        ("due", "AB"),
        ("word", "AB"),
        ("lowest", "AB"),
        ("tested", "AB"),
        ("placed", "AB"),
        ("area", "BA"),
    ],
)
def test_rows_come_in_the_order_asked(two, sort, order):
    assert [name[0] for name in found(f"sort={sort}")] == list(order)


@pytest.mark.parametrize(
    ("query", "order"),
    [
        ("sort=chance", "DCBA"),
        ("sort=sweep", "ACBD"),
        ("sort=chance&chance_from=10", "DCB"),
        ("sort=sweep&chance_from=10", "CBD"),
        ("sort=chance&chance_to=25", "BA"),
        ("sort=chance&sweep_to=2027-12-31", "CA"),
        ("sort=sweep&sweep_from=2027-02-01&chance_to=50", "CB"),
    ],
)
def test_rows_narrowed_by_outlook_come_in_the_order_of_it(query, order):
    outlooks = {"A": (0.05, 2027, 1), "B": (0.2, 2028, 3), "C": (0.5, 2027, 6), "D": (0.9, None, 1)}
    for name, (chance, year, month) in outlooks.items():
        Outlook.objects.create(
            pavement=PavementFactory(name=name),
            as_of_on=AT.date(),
            worked_out_at=AT,
            p_below=chance / 2,
            worst_p_below=chance,
            sweep_by_on=year and date(year, month, 1),
        )
    assert "".join(found(query)) == order


@pytest.mark.parametrize("sort", [name for name in SORTS if name != "name"])
def test_rows_without_the_number_come_last(two, sort):
    for pk, chance in zip(Pavement.objects.values_list("pk", flat=True), (0.2, 0.1), strict=True):
        Outlook.objects.create(
            pavement_id=pk,
            as_of_on=AT.date(),
            worked_out_at=AT,
            p_below=chance,
            worst_p_below=chance,
            sweep_by_on=date(2027, 1, 1),
        )
    PavementFactory(name="0, nothing known", area_m2=None)
    assert found(f"sort={sort}")[-1] == "0, nothing known"


def test_pavement_without_a_usable_test_is_found(two):
    lot = PavementFactory(name="C")
    StandingFactory(pavement=lot)
    assert found("never_tested=on") == ["C"]


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ("area_from=much", "area_from"),
        ("area_from=nk", "area_from"),
        ("area_from=5+kg", "area_from"),
        ("placed_from=03/04/2022", "placed_from"),
        ("placed_from=2023-02-29", "placed_from"),
        ("surface=marble", "surface"),
        ("word=splendid", "word"),
        ("sort=sideways", "sort"),
        ("text=%00", "text"),
    ],
)
def test_what_cannot_be_read_is_named_and_narrows_nothing(two, query, field):
    asked = filters(query)
    assert [p.name for p in asked.qs] == ["A, old", "B, new"]
    assert field in asked.form.errors


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("sort=area&text=", []),
        ("text=x", ["name, site, address or number: x"]),
        ("word=clean&word=not_working", ["condition: clean, not working"]),
        ("surface=grid&overdue=on", ["surface: grid", "test overdue"]),
        ("area_from=5000", ["area, from, ft²: 5000"]),
        ("word=splendid&text=x", ["name, site, address or number: x"]),
    ],
)
def test_what_was_asked_for_is_said_in_words(query, said):
    assert filters(query).narrowed_by == said
