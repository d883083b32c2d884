"""A small town of rows for rounds: a keeper with a yard, crews and approved orders."""

from datetime import UTC, date, datetime
from typing import Any

from registry.models import Crew, Organisation, Round, WorkOrder
from registry.models.choices import Role
from tests.factories import (
    CrewFactory,
    DepotFactory,
    MachineFactory,
    OrganisationFactory,
    PavementFactory,
    RoundFactory,
    SeatFactory,
    SiteFactory,
    WorkOrderFactory,
)

MONDAY = date(2031, 9, 15)
SUNDAY = date(2031, 9, 21)
AT = datetime(2031, 9, 12, 12, tzinfo=UTC)
ZONE = "America/New_York"
LON, LAT = -69.62, 44.09


def keeper(name: str = "Keepers") -> Organisation:
    """Return an organisation that keeps pavements and sweeps them itself."""
    return OrganisationFactory(name=name, time_zone=ZONE)


def crew(organisation: Organisation, **fields: Any) -> Crew:
    """Return a crew with a truck at a yard, Monday to Friday from 07:00 to 15:30."""
    machine = fields.pop("machine", {})
    given: dict[str, Any] = {
        "organisation": organisation,
        "name": "crew A",
        "machine": MachineFactory(
            organisation=organisation,
            **{"methods": ["vacuum", "wash_and_vacuum"], "head_width_m": 1.5, "speed_km_h": 2.4,
               "efficiency": 0.65, "axle_kg": 6000.0, "height_m": 3.0} | machine,
        ),
    }  # fmt: skip
    if "depot" not in fields:
        given["depot"] = DepotFactory(organisation=organisation, name="yard", lon=LON, lat=LAT)
    return CrewFactory(**given | fields)


def order(organisation: Organisation, n: int = 0, **fields: Any) -> WorkOrder:
    """Return an approved order of 1 000 m2 at a site of its own, kept by the organisation."""
    site = SiteFactory(
        **{"name": f"site {n}", "time_zone": ZONE, "lon": LON + 0.01 * (n + 1), "lat": LAT}
        | fields.pop("site", {})
    )
    own = {"name": f"lot {n}", "area_m2": 1000.0} | fields.pop("pavement_fields", {})
    pavement = PavementFactory(site=site, **own)
    SeatFactory(pavement=pavement, organisation=organisation, role=Role.MANAGER)
    given = {
        "number": f"W-{n}", "organisation": organisation, "pavement": pavement,
        "state": "approved", "passes": 1, "set_up_h": 0.5,
    }  # fmt: skip
    return WorkOrderFactory(**given | fields)


def asked(organisation: Organisation, **fields: Any) -> Round:
    """Return a round of a week, not stored."""
    given = {
        "organisation": organisation, "first_on": MONDAY, "last_on": SUNDAY, "time_zone": ZONE,
        "iterations": 50, "seconds": None,
    }  # fmt: skip
    return RoundFactory.build(**given | fields)
