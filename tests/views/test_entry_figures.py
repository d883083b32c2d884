"""What follows from an entry of the placing record stands beside it while it is typed."""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse

from registry.models import Core, Uncover, WeatherReading
from tests.placing_factories import (
    CoverBreakFactory,
    CoverFactory,
    LoadFactory,
    SpreadFactory,
    UncoverFactory,
)
from tests.views.test_placing_day import day, pavement, placer

__all__ = ["day", "pavement", "placer"]  # fixtures are found by their names here

pytestmark = pytest.mark.django_db
COVERED_AT = datetime(2023, 8, 22, 15, 33, tzinfo=UTC)
"""11:33 in New York."""


def told(client, noun, parent, **typed):
    response = client.post(
        reverse("entry_figures", args=[noun, parent.pk]), {"system": "inch_pound", **typed}
    )
    assert response.status_code == 200
    return response.content.decode()


def test_evaporation_follows_a_reading_against_the_published_example_of_uno_1998(client, day):
    """0.24 lb/ft2/h: 87 °F concrete, 80 °F air, 50 %, 12 mph (Uno 1998, inputs from memory)."""
    typed = {"air_c": "80", "concrete_c": "87", "humidity_percent": "50", "wind_km_h": "12"}
    assert "0.243 lb/ft²/h" in told(client, "weather_reading", day, at="06:00", **typed)
    found = told(client, "weather_reading", day, air_c="80", wind_km_h="no idea")
    assert "No evaporation without concrete, humidity, wind." in found
    assert not WeatherReading.objects.exists()


def test_hours_under_cover_follow_an_uncovering_less_every_break(client, day):
    """7 days less 3 h 33 min are 6 d 20 h 27 min; less a break of 90 min, 6 d 18 h 57 min."""
    day.covered_hours_required = 168
    day.save(update_fields=["covered_hours_required"])
    CoverFactory(
        placing_day=day, first_at=COVERED_AT, last_at=COVERED_AT, panels=[], panels_text="C"
    )
    found = told(client, "uncover", day, panels_text="C1", at="2023-08-29 08:00")
    assert "6 d 20 h 27 min" in found and "short by 3 h 33 min" in found
    CoverBreakFactory(
        placing_day=day,
        panels=[],
        panels_text="C",
        from_at=datetime(2023, 8, 24, 4, tzinfo=UTC),
        to_at=datetime(2023, 8, 24, 5, 30, tzinfo=UTC),
    )
    found = told(client, "uncover", day, panels_text="C1", at="2023-08-29 08:00")
    assert "6 d 18 h 57 min" in found and "short by 5 h 3 min" in found
    assert "Its clock is needed." in told(client, "uncover", day, panels_text="C1")
    assert not Uncover.objects.exists()


def test_hours_follow_the_correction_of_a_cover_in_place_of_the_stored_one(client, day):
    """7 days less 3 h 33 min; covered an hour later, an hour less."""
    day.covered_hours_required = 168
    day.save(update_fields=["covered_hours_required"])
    kept = CoverFactory(
        placing_day=day, first_at=COVERED_AT, last_at=COVERED_AT, panels=[], panels_text="C"
    )
    UncoverFactory(
        placing_day=day,
        panels=[],
        panels_text="C",
        at=COVERED_AT + timedelta(hours=168, minutes=-213),
    )
    page = client.get(reverse("entry_correct", args=["cover", day.pk, kept.pk])).content.decode()
    assert f'data-live="/record/cover/{day.pk}/figures/"' in page
    assert f'name="of" value="{kept.pk}"' in page
    typed = {"of": kept.pk, "panels_text": "C1", "first_at": "11:30"}
    found = told(client, "cover", day, **typed, last_at="12:33")
    assert "6 d 19 h 27 min" in found and "6 d 20 h 27 min" not in found
    unreadable = told(client, "cover", day, **typed, last_at="noonish")
    assert "6 d" not in unreadable
    kept.refresh_from_db()
    assert kept.last_at == COVERED_AT
    address = reverse("entry_figures", args=["cover", day.pk])
    assert client.post(address, {**typed, "of": kept.pk + 1}).status_code == 404


def test_yield_follows_a_limit_of_the_only_load(client, day):
    """9 yd3 over 12 ft by 40.5 ft at 6 in fill 9 yd3: yield 1 by hand."""
    day.pavement.panels.update(width_m=12 * 0.3048)
    day.thickness_mm = 152.4
    day.save(update_fields=["thickness_mm"])
    load = LoadFactory(placing_day=day, volume_m3=9 * 0.764554857984)
    found = told(client, "spread", load, lane="C", from_m="0", to_m="40.5")
    assert "100 %" in found
    SpreadFactory(load=load, lane="C", from_m=0.0, to_m=40.5 * 0.3048)
    found = told(client, "spread", load, lane="C", from_m="40.5", to_m="81")
    assert "50 %" in found


def test_deviation_follows_a_core(client, day):
    day.thickness_mm = 152.4
    day.save(update_fields=["thickness_mm"])
    found = told(client, "core", day.pavement, number="K1", length_mm="5.9")
    assert "-0.10 in" in found and "The density is missing." in found
    assert "are needed" in told(client, "core", day.pavement, number="K1")
    assert not Core.objects.exists()


def test_entry_from_which_nothing_follows_has_no_figures(client, day):
    address = reverse("entry_figures", args=["blemish", day.pk])
    assert client.post(address).status_code == 404
    assert client.get(address).status_code == 405
    page = client.get(reverse("entry_add", args=["uncover", day.pk])).content.decode()
    assert f'data-live="/record/uncover/{day.pk}/figures/"' in page
    assert (
        "data-live"
        not in client.get(reverse("entry_add", args=["blemish", day.pk])).content.decode()
    )
