"""Photos on a plan: the key's sign where one was taken, turned the way it looks."""

import math

from registry.drawing.frames import Frame, ScaleFrame
from registry.drawing.known_marks import Crowd
from registry.drawing.labels import Box, Labels
from registry.drawing.lettering import SMALLEST_PT
from registry.drawing.plan_marks import PhotoMark
from registry.drawing.plan_things import shown_at
from registry.drawing.primitives import (
    Anchor,
    Area,
    Circle,
    Group,
    Item,
    Mark,
    Point,
    Role,
    Symbol,
    Text,
)

_SIGN_MM, _REACH_MM = 3.6, 4.0
_TURNS = tuple(math.radians(degrees) for degrees in (0, 180, 90, 270, 45, 135, 225, 315))
_AWAY_MM = (4.4, 8.0)


def photo_items(photos: tuple[PhotoMark, ...], frame: Frame, labels: Labels) -> list[Item]:
    """Return the signs, each at its place, or beside it where something is drawn there.

    A photo whose way is not known is a ring with a dot, as a lens is seen from in front.
    """
    crowd = Crowd(labels.taken, labels.frame)
    turned = 90.0 if _is_turned(frame) else 0.0
    items: list[Item] = []
    for photo in photos:
        place = shown_at(frame, photo.shape.centre)
        if place is None:
            continue
        at = _free(place, crowd)
        labels.keep_off(at, _SIGN_MM)
        sign = _sign(photo, at, turned)
        items.append(Group(sign, photo.href, photo.title, at, _REACH_MM))
    return items


def _is_turned(frame: Frame) -> bool:
    """Whether up on the plan runs to the right on the paper."""
    return isinstance(frame, ScaleFrame) and frame.turned


def _free(place: Point, crowd: Crowd) -> Point:
    """The place itself or the nearest beside it that nothing takes; itself where all is taken."""
    tries = [place]
    for away in _AWAY_MM:
        tries += [(place[0] + away * math.cos(t), place[1] + away * math.sin(t)) for t in _TURNS]
    at = next((one for one in tries if crowd.is_free(_box(one))), place)
    crowd.take(_box(at))
    return at


def _box(at: Point) -> Box:
    half = _SIGN_MM / 2
    return (at[0] - half, at[1] - half, at[0] + half, at[1] + half)


def _sign(photo: PhotoMark, at: Point, turned: float) -> tuple[Item, ...]:
    left, top, right, bottom = _box(at)
    ground = Area(((left, top), (right, top), (right, bottom), (left, bottom)), Role.PAPER, None)
    if photo.count > 1:
        foot = (at[0], at[1] + 0.36 * SMALLEST_PT * 0.353)
        return (ground, Area(ground.points), Text(foot, str(photo.count), anchor=Anchor.MIDDLE))
    if photo.turn_deg is None:
        return (ground, Circle(at, 0.42 * _SIGN_MM), Circle(at, 0.5, fill=Role.INK))
    turn = (photo.turn_deg + turned) % 360
    return (ground, Mark(at, Symbol.PHOTO, _SIGN_MM, turn_deg=turn))
