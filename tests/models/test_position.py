"""Half a position finds nothing, so no row may hold one."""

import pytest
from django.db import IntegrityError, transaction

from registry.models import Pavement, Site
from tests.factories import PavementFactory, SiteFactory

pytestmark = pytest.mark.django_db

HALVES = [(5.0, None), (None, 5.0), (181.0, 5.0), (5.0, -90.5)]


@pytest.mark.parametrize(("lon", "lat"), HALVES)
def test_site_holds_no_half_position(lon, lat):
    site = SiteFactory()
    with pytest.raises(IntegrityError), transaction.atomic():
        Site.objects.filter(pk=site.pk).update(lon=lon, lat=lat)


@pytest.mark.parametrize("columns", [("lon", "lat"), ("datum_lon", "datum_lat")])
@pytest.mark.parametrize(("lon", "lat"), HALVES)
def test_pavement_holds_no_half_position(columns, lon, lat):
    pavement = PavementFactory()
    with pytest.raises(IntegrityError), transaction.atomic():
        Pavement.objects.filter(pk=pavement.pk).update(
            **dict(zip(columns, (lon, lat), strict=True))
        )


def test_whole_and_missing_positions_are_kept():
    pavement = PavementFactory(lon=-71.0, lat=42.0, datum_lon=None, datum_lat=None)
    pavement.refresh_from_db()
    assert (pavement.lon, pavement.lat, pavement.datum_lon) == (-71.0, 42.0, None)
