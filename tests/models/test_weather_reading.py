"""A reading of the weather lies within what can be."""

import pytest

from tests.models.refusals import VOID, refused
from tests.placing_factories import WeatherReadingFactory

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("rule", "make", "fields"),
    [
        ("weather_reading_void_has_reason", WeatherReadingFactory, VOID),
        ("weather_reading_humidity_0_to_100", WeatherReadingFactory, {"humidity_percent": 101}),
        ("weather_reading_humidity_0_to_100", WeatherReadingFactory, {"humidity_percent": -1}),
        ("weather_reading_wind_is_not_below_0", WeatherReadingFactory, {"wind_km_h": -1}),
    ],
)
def test_what_cannot_be_is_refused(rule, make, fields):
    refused(rule, make, **fields)
