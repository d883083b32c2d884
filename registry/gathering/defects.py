"""What a page says of a defect beside its looks: haste, and its place both ways."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from shapely.geometry import shape

from registry.defects import (
    CrackFacts,
    Urgency,
    crack_advice,
    crack_reasons,
    urgent,
)
from registry.gathering.defect_growth import GrowthOf
from registry.gathering.defect_looks import measured_of
from registry.gathering.plan_defects import shape_of
from registry.models import Defect, DefectMove, Observation, Pavement
from registry.models.choices import Answer
from registry.plan import EarthError, PlaceError, as_station, to_geojson, write_place
from registry.plan.datum import Datum
from registry.plan.layout import Layout

MADE_SAFE = frozenset({"made_safe", "repaired", "sound"})
ROUTE = {Answer.YES.value: True, Answer.NO.value: False}


@dataclass(frozen=True)
class Haste:
    """What has to be done and by when; `reasons` and `advice` are for cracks alone.

    is_made_safe  its state says that somebody has acted; the measure stands as it was
    """

    urgency: Urgency | None = None
    is_made_safe: bool = False
    reasons: tuple[str, ...] = ()
    advice: tuple[str, ...] = ()


def haste_of(defect: Defect, looks: Sequence[Observation], grown: Sequence[GrowthOf] = ()) -> Haste:
    """Return whether it has to be made safe today, by the last look that found it.

    looks: oldest first. Its pavement is fetched with the defect. A closed defect asks nothing. A
    lip that the last of them did not measure is as high as it was last measured: a look without a
    measure makes nothing safe.
    """
    found = [look for look in looks if look.found == Observation.Found.FOUND]
    if not found or not defect.is_open:
        return Haste()
    measured, route = measured_of(found[-1]), route_of(defect)
    reasons: tuple[str, ...] = ()
    advice: tuple[str, ...] = ()
    if defect.kind in ("crack", "corner_break"):
        facts = _crack_facts(defect, grown)
        reasons, advice = crack_reasons(measured, route, facts), crack_advice(measured, facts)
    lips = [look.lip_m for look in found if look.lip_m is not None]
    urgency = urgent(defect.kind, replace(measured, lip_m=lips[-1] if lips else None), route)
    return Haste(urgency, defect.state in MADE_SAFE, reasons, advice)


def route_of(defect: Defect) -> bool | None:
    """Return whether it lies on an accessible route: as said of it, else of the whole pavement."""
    if defect.on_accessible_route:
        return ROUTE.get(defect.on_accessible_route)
    return ROUTE.get(defect.pavement.accessible_route)


def _crack_facts(defect: Defect, grown: Sequence[GrowthOf]) -> CrackFacts:
    lips = [line for part in grown if part.name == "lip_m" for line in part.found]
    yearly = lips[-1].per_year if lips else None
    poured = defect.concrete_placed_on
    return CrackFacts(
        lip_growth_m_a=None if yearly is None else yearly / 1000,
        age_days=None if poured is None else (defect.first_seen_on - poured).days,
        is_jointed=None if defect.panel_id is None else True,
    )


def station_of(defect: Defect, layout: Layout | None) -> str:
    """Return its place by station and offset; why not, or "" where it has no outline."""
    if layout is None or not defect.outline:
        return ""
    try:
        shape = shape_of(defect.outline_kind, defect.outline)
        return write_place(as_station(shape, layout), layout.system)
    except PlaceError as fault:
        return fault.message


def position_of(defect: Defect) -> dict[str, object] | None:
    """Return its position on earth as a GeoJSON geometry; None where there is none to trust.

    The datum needs longitude, latitude and the bearing of up; a provisional place has none.
    """
    pavement: Pavement = defect.pavement
    lon, lat = pavement.datum_lon, pavement.datum_lat
    if not defect.outline or defect.is_provisional or lon is None or lat is None:
        return None
    try:
        datum = Datum("", lonlat=(lon, lat), bearing_of_up_deg=pavement.bearing_of_up_deg)
        return to_geojson(shape_of(defect.outline_kind, defect.outline), datum)
    except EarthError:
        return None


def position_in_words(defect: Defect) -> str:
    """Return "longitude -69.620559, latitude 44.091121" (WGS 84), of the middle where it is no
    point; nothing where `position_of` gives none.
    """
    geometry = position_of(defect)
    if geometry is None:
        return ""
    middle = shape(geometry).centroid
    whose = "" if geometry["type"] == "Point" else ", of its middle"
    return f"longitude {middle.x:.6f}, latitude {middle.y:.6f}{whose}"


def states_before(defect: Defect, moves: Iterable[DefectMove] | None = None) -> list[str]:
    """Return the states a defect was in, oldest first; `moves` are its moves where fetched."""
    rows = defect.moves.all() if moves is None else moves
    in_order = sorted(rows, key=lambda move: (move.at, move.pk))
    return [state for move in in_order for state in (move.from_state, move.to_state) if state]
