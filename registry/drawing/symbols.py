"""The lines of every mark, on a unit square around its middle, y down."""

import math
from dataclasses import dataclass, field

from registry.drawing.primitives import (
    Anchor,
    Area,
    Circle,
    Mark,
    Point,
    Polyline,
    Role,
    Symbol,
    Text,
    Weight,
)


@dataclass(frozen=True)
class _Shape:
    """Open lines, closed outlines, circles (x, y, radius, filled) and one letter."""

    lines: tuple[tuple[Point, ...], ...] = ()
    outlines: tuple[tuple[Point, ...], ...] = ()
    circles: tuple[tuple[float, float, float, bool], ...] = ()
    solid: bool = False
    letter: str = field(default="")


def _round(corners: int, start_deg: float) -> tuple[Point, ...]:
    turns = [math.radians(start_deg + 360 * index / corners) for index in range(corners)]
    return tuple((0.5 * math.sin(turn), -0.5 * math.cos(turn)) for turn in turns)


def _star() -> tuple[Point, ...]:
    points = []
    for index in range(10):
        reach, turn = (0.55 if index % 2 == 0 else 0.22), math.radians(36 * index)
        points.append((reach * math.sin(turn), -reach * math.cos(turn)))
    return tuple(points)


_SQUARE = ((-0.4, -0.4), (0.4, -0.4), (0.4, 0.4), (-0.4, 0.4))
_WAVE = tuple((-0.6 + 0.1 * step, 0.2 * math.sin(step * math.pi / 2)) for step in range(13))
_BOWL = tuple(
    (0.4 * math.cos(math.radians(turn)), 0.35 * math.sin(math.radians(turn)))
    for turn in range(0, 181, 30)
)
_FAR = ((-0.45, -0.4), (-0.25, -0.5), (0, -0.54), (0.25, -0.5), (0.45, -0.4))
_IN_VIEW = ((0, 0.4), *_FAR, (0, 0.4))
_ARROW_HEAD = ((-0.22, -0.1), (0.0, -0.5), (0.22, -0.1))

_SHAPES: dict[Symbol, _Shape] = {
    Symbol.DATUM: _Shape(
        lines=(((-0.75, 0), (0.75, 0)), ((0, -0.75), (0, 0.75))), circles=((0, 0, 0.45, False),)
    ),
    Symbol.SPOT: _Shape(lines=(((-0.4, -0.4), (0.4, 0.4)), ((-0.4, 0.4), (0.4, -0.4)))),
    Symbol.ARROW: _Shape(lines=(((0, 0.5), (0, -0.5)), _ARROW_HEAD)),
    Symbol.DRAIN: _Shape(
        outlines=(_SQUARE,),
        lines=(((-0.13, -0.4), (-0.13, 0.4)), ((0.13, -0.4), (0.13, 0.4))),
    ),
    Symbol.WELL: _Shape(circles=((0, 0, 0.45, False), (0, 0, 0.14, True))),
    Symbol.OVERFLOW: _Shape(outlines=(_SQUARE,), lines=(((-0.4, 0), (0.4, 0)),)),
    Symbol.CLEANOUT: _Shape(circles=((0, 0, 0.42, False),), lines=(((-0.42, 0), (0.42, 0)),)),
    Symbol.LANDMARK: _Shape(outlines=(_SQUARE,), solid=True),
    Symbol.DISC: _Shape(circles=((0, 0, 0.45, True),)),
    Symbol.SQUARE: _Shape(outlines=(_SQUARE,), solid=True),
    Symbol.TRIANGLE: _Shape(outlines=(((0, -0.5), (0.48, 0.36), (-0.48, 0.36)),), solid=True),
    Symbol.DIAMOND: _Shape(outlines=(((0, -0.55), (0.5, 0), (0, 0.55), (-0.5, 0)),), solid=True),
    Symbol.HEXAGON: _Shape(outlines=(_round(6, 0),), solid=True),
    Symbol.STAR: _Shape(outlines=(_star(),), solid=True),
    Symbol.BELOW: _Shape(lines=(((0, -0.5), (0, 0.5)), ((-0.25, 0.1), (0, 0.5), (0.25, 0.1)))),
    Symbol.ABOVE: _Shape(lines=(((0, 0.5), (0, -0.5)), ((-0.25, -0.1), (0, -0.5), (0.25, -0.1)))),
    Symbol.BROOM: _Shape(outlines=(((-0.35, -0.4), (0.35, -0.4), (0, 0.3)),), solid=True),
    Symbol.RAVELING: _Shape(
        lines=tuple(((x - 0.15, 0.35), (x + 0.15, -0.35)) for x in (-0.5, -0.25, 0, 0.25, 0.5))
    ),
    Symbol.CRACK: _Shape(lines=(_WAVE,)),
    Symbol.SEALED: _Shape(
        outlines=(((-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)),),
        lines=(
            ((-0.1, -0.3), (-0.2, 0.3)),
            ((0.2, -0.3), (0.1, 0.3)),
            ((-0.32, -0.12), (0.32, -0.12)),
            ((-0.32, 0.12), (0.32, 0.12)),
        ),
    ),
    Symbol.CLOGGED: _Shape(circles=((-0.28, 0, 0.24, False), (0.28, 0, 0.24, False))),
    Symbol.SCRAPE: _Shape(lines=(((-0.5, -0.14), (0.5, -0.14)), ((-0.5, 0.14), (0.5, 0.14)))),
    Symbol.LIP: _Shape(lines=(((-0.35, 0.25), (0, -0.35), (0.35, 0.25)),)),
    Symbol.DIP: _Shape(lines=(((0.4, -0.35), *_BOWL, (-0.4, -0.35)),)),
    Symbol.STAIN: _Shape(
        lines=(
            ((0, -0.42), (0, 0.42)),
            ((-0.37, -0.21), (0.37, 0.21)),
            ((-0.37, 0.21), (0.37, -0.21)),
        )
    ),
    Symbol.PONDING: _Shape(letter="P"),
    # Where one stands, and what is in the picture from there: unlike the arrow that shows up.
    Symbol.PHOTO: _Shape(lines=(_IN_VIEW,), circles=((0, 0.4, 0.17, True),)),
    Symbol.OTHER: _Shape(circles=((0, 0, 0.12, True),)),
}


def lines_of(mark: Mark) -> tuple[Polyline | Area | Circle | Text, ...]:
    """A mark as plain lines at its place, size and turn."""
    shape = _SHAPES[mark.symbol]
    turn = math.radians(mark.turn_deg)
    weight = Weight.THIN

    def put(point: Point) -> Point:
        x, y = point[0] * mark.size_mm, point[1] * mark.size_mm
        return (
            mark.at[0] + x * math.cos(turn) - y * math.sin(turn),
            mark.at[1] + x * math.sin(turn) + y * math.cos(turn),
        )

    inside = Role.PAPER if mark.hollow else mark.role
    drawn: list[Polyline | Area | Circle | Text] = []
    for outline in shape.outlines:
        fill = inside if shape.solid else Role.PAPER
        drawn.append(Area(tuple(map(put, outline)), fill, mark.role, weight))
    for x, y, radius, filled in shape.circles:
        ground = inside if filled else None
        drawn.append(Circle(put((x, y)), radius * mark.size_mm, ground, mark.role, weight))
    drawn.extend(Polyline(tuple(map(put, line)), mark.role, weight) for line in shape.lines)
    if shape.letter:
        size_pt = mark.size_mm / 0.28
        foot = put((0.0, 0.36))
        drawn.append(Text(foot, shape.letter, size_pt, Anchor.MIDDLE, bold=True, role=mark.role))
    return tuple(drawn)
