"""Readings that no ring test can give are refused in the form, in a file and by the database."""

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from registry.forms.infiltration_test import InfiltrationTestForm
from registry.models import InfiltrationTest, Ring
from registry.models.reading_limits import beyond_limits
from registry.units import System
from tests.factories import InfiltrationTestFactory, OrganisationFactory, SpotFactory

pytestmark = pytest.mark.django_db

BEYOND = [
    ("water", "1e30", "1e30"),
    ("water", 2205.0, "2205"),
    ("prewet_water", 2205.0, "2205"),
    ("seconds", 86_401.0, "86401"),
    ("wait_seconds", 86_401.0, "86401"),
    ("ring", 78.8, "78.8"),
    ("ring", 1.9, "1.9"),
]


def form_of(spot, **written):
    given = {
        "system": "inch_pound",
        "spot": spot.pk,
        "started_on": "2026-05-19",
        "method": "c1701",
        "run": "1",
        "ended": "drained",
        "ring": "12",
        "water": "40",
        "seconds": "67.3",
    }
    return InfiltrationTestForm(
        given | written,
        pavement=spot.pavement,
        spots=spot.pavement.spots.standing(),
        rings=Ring.objects.none(),
        system="inch_pound",
    )


@pytest.mark.parametrize(("name", "_", "written"), [row for row in BEYOND if row[2] != "1e30"])
def test_form_refuses_what_no_ring_test_gives(name, _, written):
    form = form_of(SpotFactory(), **{name: written})
    assert set(form.errors) == {name}
    assert any(word in form.errors[name][0] for word in ("Look at the", "longer than a day"))


@pytest.mark.parametrize(
    ("name", "written"),
    [("water", "2204"), ("ring", "78.7"), ("ring", "2"), ("seconds", "86400 s")],
)
def test_form_takes_what_is_only_odd(name, written):
    assert form_of(SpotFactory(), **{name: written}).errors == {}


@pytest.mark.parametrize(("name", "value", "_"), BEYOND)
def test_database_refuses_what_no_ring_test_gives(name, value, _):
    row = InfiltrationTestFactory()
    with pytest.raises(IntegrityError), transaction.atomic():
        InfiltrationTest.objects.filter(pk=row.pk).update(**{name: float(value)})


def test_void_entry_keeps_what_was_typed():
    row = InfiltrationTestFactory()
    void = {"void_at": timezone.now(), "void_why": "typed twice"}
    InfiltrationTest.objects.filter(pk=row.pk).update(water=1e30, **void)
    row.refresh_from_db()
    assert row.water == 1e30


def test_limits_are_the_same_in_both_systems():
    assert beyond_limits("water", 1000.0, System.SI) == ""
    assert "1000 kg" in beyond_limits("water", 1000.1, System.SI)
    assert beyond_limits("ring", 49.9, System.SI) and not beyond_limits("ring", 50.0, System.SI)


def test_ring_of_the_list_has_the_same_limits():
    with pytest.raises(IntegrityError), transaction.atomic():
        Ring.objects.create(
            organisation=OrganisationFactory(), name="R1", system="si", inside_diameter=12.0
        )
