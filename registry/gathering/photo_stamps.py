"""What the stamps of a photo mean for the record: its day at the site, and what its position tells.

The camera's clock is taken for what it says and nothing more: its day dates the photo, its hour
is shown as stored, and the true time stays open until a person says it.
"""

from datetime import date, timedelta
from zoneinfo import ZoneInfo

from django.utils import timezone

from registry.faults import DomainError
from registry.gathering.layouts import layout_of
from registry.imaging import (
    CameraTimeError,
    KnownBy,
    Lot,
    Position,
    SaidPlace,
    Stamps,
    far_from,
    place_by,
    stored_instant,
    stored_time,
)
from registry.models import Organisation, Pavement, Photo, Seat
from registry.plan.earth import ring_to_lonlat

NEAR_DEGREES = 0.01
"""About a kilometre: pavements beyond it are not taken for neighbours."""
MOST_LOTS = 12


def day_taken(camera_time: str | None, camera_offset: str | None, zone: str) -> date | None:
    """Return the day at the site on which the camera says it took the photo; None is undated.

    A time that is none, and one that has not come yet, date nothing (`why_undated` says so). An
    offset that is none is left aside: the day stands in the time itself.
    """
    if camera_time is None:
        return None
    try:
        local = stored_time(camera_time)
    except CameraTimeError:
        return None
    try:
        if (instant := stored_instant(camera_time, camera_offset)) is not None:
            local = instant.astimezone(ZoneInfo(zone))
    except (CameraTimeError, OverflowError):
        pass
    return local.date() if local.date() <= _tomorrow(zone) else None


def why_undated(photo: Photo) -> str:
    """Return why nobody knows when a photo was taken, in words; "" where it has a day."""
    if photo.taken_on is not None:
        return ""
    if not photo.camera_time:
        return (
            "Undated: the file carries no camera time. Message services and screenshots lose it. "
            "It stays undated."
        )
    return (
        f"Undated: the camera's clock said “{photo.camera_time}”, which is no day and time that "
        "has come yet. Say what the clock was wrong by, if it is known."
    )


def what_position_says(row: Photo, position: Position | None, organisation: Organisation) -> str:
    """Return what the position in the file tells of the site; never a panel, never a change.

    The neighbours named are pavements of the organisation that brings the photo in.
    """
    if position is None or row.pavement is None:
        return ""
    lots = _lots(row.pavement, position, organisation)
    said = SaidPlace(str(row.pavement.pk), row.panel.name if row.panel else None)
    is_card = row.place_known_by == KnownBy.CARD
    found = place_by(said if is_card else None, None if is_card else said, position, lots)
    if not lots[0].outline:
        return _by_the_map(row.pavement, position)
    if found.doubts:
        return found.doubts[0]
    return f"The photo's position agrees with {row.pavement.name}."


def _by_the_map(pavement: Pavement, position: Position) -> str:
    for place, name in ((pavement, pavement.name), (pavement.site, pavement.site.name)):
        if place.lon is not None and place.lat is not None:
            doubt = far_from(position, name, (place.lon, place.lat))
            return doubt or f"The photo's position is near {name}."
    return "The file has a position; where the pavement lies on earth is not on record yet."


def _lots(pavement: Pavement, position: Position, organisation: Organisation) -> list[Lot]:
    held = Seat.objects.held_at(timezone.now()).filter(organisation=organisation)
    near = Pavement.objects.filter(
        pk__in=held.values("pavement"),
        void_at__isnull=True,
        datum_lon__range=(position.lon - NEAR_DEGREES, position.lon + NEAR_DEGREES),
        datum_lat__range=(position.lat - NEAR_DEGREES, position.lat + NEAR_DEGREES),
    ).exclude(pk=pavement.pk)
    rows = [pavement, *near.order_by("pk")[:MOST_LOTS]]
    return [Lot(str(row.pk), row.name, _outline(row)) for row in rows]


def _outline(pavement: Pavement) -> tuple[tuple[float, float], ...]:
    """Return the outline on earth, or the rectangle round all that is drawn; () if not known."""
    try:
        layout = layout_of(pavement)
        if layout is None:
            return ()
        left, bottom, right, top = layout.reach
        corners = ((left, bottom), (right, bottom), (right, top), (left, top))
        return ring_to_lonlat(layout.datum, layout.outline or corners)
    except DomainError:  # no datum on earth, or a plan that cannot be drawn: no outline is known
        return ()


def stored_stamps(stamps: Stamps) -> dict[str, object]:
    """Return stamps ready for JSON, as they stand in the file."""
    position, facing = stamps.position, stamps.facing
    return {
        "camera_time": stamps.camera_time,
        "camera_offset": _printable(stamps.camera_offset),
        "satellite_time": stamps.satellite_time,
        "changed_time": stamps.changed_time,
        "make": stamps.make,
        "model": stamps.model,
        "position": [position.lon, position.lat, position.error_m] if position else None,
        "facing": [facing.degrees, facing.north] if facing else None,
        "orientation": stamps.orientation,
        "unreadable": list(stamps.unreadable),
    }


def _printable(text: str | None) -> str | None:
    """Databases keep no zero byte, and a damaged file may hold any."""
    return None if text is None else "".join(sign for sign in text if sign.isprintable())


def _tomorrow(zone: str) -> date:
    """A phone on the far side of the date line may be a day ahead."""
    return timezone.now().astimezone(ZoneInfo(zone)).date() + timedelta(days=1)
