"""What is known of a site, as lines of label and text."""

from registry.gathering.facts import Fact, facts_of
from registry.models import Site
from registry.models.choices import Empty
from registry.units import Kind, System, show_limit

SITE_FIELDS: tuple[tuple[str, Kind | None], ...] = (
    ("address", None),
    ("entrance", None),
    ("time_zone", None),
    ("climate", None),
    ("access_hours", None),
    ("noise_hours", None),
    ("gate", None),
    ("clearance_m", Kind.LENGTH),
    ("way_in_width_m", Kind.LENGTH),
    ("turning_m", Kind.LENGTH),
    ("heaviest_axle_kg", Kind.MASS),
    ("way_in_axle_kg", Kind.MASS),
    ("water_point", None),
    ("hose_m", Kind.LENGTH),
    ("water_flow_l_min", Kind.LIQUID),
    ("dump_place", None),
    ("dump_distance_m", Kind.LENGTH),
    ("notice_h", None),
    ("tow_rule", None),
    ("lon", None),
    ("lat", None),
)
LIMITS = dict.fromkeys(
    ("clearance_m", "way_in_width_m", "turning_m", "heaviest_axle_kg", "way_in_axle_kg"), show_limit
)
"""What a machine is read against, so never shown as more than it is."""


def site_facts(site: Site, system: System) -> tuple[Fact, ...]:
    """Return the facts of a site, its other names first."""
    names = "; ".join(_other_name(name) for name in site.other_names)
    code = site.empties.get("other_names")
    empty = Empty(code).label if code else "not filled in yet"
    first = Fact("other names", names, "" if names else str(empty))
    return (first, *facts_of(site, SITE_FIELDS, system, LIMITS))


def _other_name(stored: object) -> str:
    if isinstance(stored, dict):
        used_by = stored.get("used_by")
        return f"{stored['name']} (used by {used_by})" if used_by else str(stored["name"])
    return str(stored)
