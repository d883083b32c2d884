"""The GeoJSON that goes out, as an independent reader takes it: GDAL's ogrinfo (RFC 7946)."""

import subprocess
from datetime import UTC, datetime

import pytest

from registry.exchange.files_out import geojson
from registry.exchange.shown import shown_pavements
from registry.models import PavementNumber
from tests.factories import OrganisationFactory, PavementFactory, SeatFactory

pytestmark = [pytest.mark.django_db, pytest.mark.gdal]
NOW = datetime(2026, 6, 30, 12, tzinfo=UTC)


def test_every_pavement_is_a_point_where_it_lies(tmp_path):
    owner = OrganisationFactory()
    for ref, lon, lat in (("A1", -71.0589, 42.3601), ("B2", 151.2093, -33.8688)):
        row = PavementFactory(lon=lon, lat=lat, name=f"Lot {ref}, “north”")
        SeatFactory(pavement=row, organisation=owner)
        PavementNumber.objects.create(pavement=row, organisation=owner, number=ref)
    file = tmp_path / "pavements.geojson"
    file.write_text("".join(geojson(shown_pavements([owner.pk], NOW), NOW)), encoding="utf-8")
    read = subprocess.run(
        ["ogrinfo", "-ro", "-al", "-geom=YES", str(file)],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    ).stdout
    assert "Feature Count: 2" in read
    assert "Geometry: Point" in read
    assert "POINT (-71.0589 42.3601)" in read
    assert "POINT (151.2093 -33.8688)" in read
    assert "Lot A1, “north”" in read
    assert 'ID["EPSG",4326]' in read
