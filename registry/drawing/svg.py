"""A drawing as SVG that passes a strict content policy: attributes only, no style, no script.

Each shape carries classes a page's own style sheet can colour in light and dark: `edge-<role>`
and `w-<weight>` for lines, `fill-<role>` for fills, `text-<role>` for text, `faint` for tints;
the attributes beside them are the fallback of a file opened alone.
"""

import re
from xml.sax.saxutils import escape, quoteattr

from registry.drawing.lettering import POINT_MM
from registry.drawing.primitives import (
    WEIGHT_MM,
    Anchor,
    Area,
    Circle,
    Drawing,
    DrawingError,
    Group,
    Item,
    Line,
    Mark,
    Point,
    Polyline,
    Role,
    Strokes,
    Text,
    Weight,
)
from registry.drawing.symbols import lines_of

FONT = "DejaVu Sans, Verdana, sans-serif"
_COLOURS = {
    Role.INK: "currentColor",
    Role.WATER: "#0b5a8a",
    Role.SIGNAL: "#a83c0c",
    Role.PALE: "#8a8a80",
    Role.PAPER: "#ffffff",
}
# What XML 1.0 cannot hold even escaped; it has no business in a name or a note either.
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def to_svg(drawing: Drawing, *, id_prefix: str) -> str:
    """The drawing as one `<svg>` element, its true size in mm.

    id_prefix: makes the ids of title and description unique on a page; letters, digits, - and _.
    A drawing with links is a group, for a picture's parts could not be reached by keyboard.
    """
    if not re.fullmatch(r"[A-Za-z][A-Za-z0-9_-]*", id_prefix):
        raise DrawingError(f"{id_prefix!r} cannot begin an id.")
    role = "group" if drawing.has_links else "img"
    width, height = _number(drawing.width_mm), _number(drawing.height_mm)
    named = f"{id_prefix}-title" + (f" {id_prefix}-desc" if drawing.desc else "")
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="drawing" role="{role}" '
        f'aria-labelledby="{named}" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" font-family="{FONT}" fill="none" '
        'stroke-linecap="round" stroke-linejoin="round">'
    )
    parts = [head, f'<title id="{id_prefix}-title">{_text(drawing.title)}</title>']
    if drawing.desc:
        parts.append(f'<desc id="{id_prefix}-desc">{_text(drawing.desc)}</desc>')
    parts.extend(map(_item, drawing.items))
    return "".join((*parts, "</svg>"))


def _item(item: Item) -> str:
    match item:
        case Line():
            (x1, y1), (x2, y2) = item.start, item.end
            place = _attributes(x1=x1, y1=y1, x2=x2, y2=y2)
            return f"<line {place} {_edge(item.role, item.weight, item.dash_mm)}/>"
        case Polyline():
            edge = _edge(item.role, item.weight, item.dash_mm)
            return f'<polyline points="{_points(item.points)}" {edge}/>'
        case Strokes():
            path = "".join(f"M{'L'.join(map(_pair, line))}" for line in item.lines)
            return f'<path d="{path}" {_edge(item.role, item.weight)}/>' if path else ""
        case Area():
            look = _look(item.fill, item.edge, item.weight, item.dash_mm, item.faint)
            return f'<polygon points="{_points(item.points)}" {look}/>'
        case Circle():
            place = _attributes(cx=item.centre[0], cy=item.centre[1], r=item.radius_mm)
            return f"<circle {place} {_look(item.fill, item.edge, item.weight)}/>"
        case Text():
            return _lettering(item)
        case Mark():
            return "".join(map(_item, lines_of(item)))
        case Group():
            return _group(item)


def _group(group: Group) -> str:
    inner = "".join(map(_item, group.items))
    if group.at is not None and group.reach_mm > 0:
        place = _attributes(cx=group.at[0], cy=group.at[1], r=group.reach_mm)
        # Transparent, not absent: only what is painted answers to a finger.
        inner = f'<circle class="reach" {place} fill="#000" fill-opacity="0"/>{inner}'
    title = f"<title>{_text(group.title)}</title>" if group.title else ""
    if group.href:
        name = quoteattr(_clean(group.title))
        return f"<a href={quoteattr(group.href)} aria-label={name}>{title}{inner}</a>"
    return f"<g>{title}{inner}</g>"


def _lettering(item: Text) -> str:
    place = _attributes(x=item.at[0], y=item.at[1])
    size = f'font-size="{_number(item.size_pt * POINT_MM)}"'
    anchor = "" if item.anchor == Anchor.START else f' text-anchor="{item.anchor}"'
    bold = ' font-weight="bold"' if item.bold else ""
    turn = ""
    if item.turn_deg:
        turned = " ".join(map(_number, (item.turn_deg, *item.at)))
        turn = f' transform="rotate({turned})"'
    look = f'class="text-{item.role}" fill="{_COLOURS[item.role]}"'
    return f"<text {place} {size}{anchor}{bold}{turn} {look}>{_text(item.text)}</text>"


def _edge(role: Role, weight: Weight, dash_mm: tuple[float, ...] = ()) -> str:
    return _look(None, role, weight, dash_mm)


def _look(
    fill: Role | None,
    edge: Role | None,
    weight: Weight,
    dash_mm: tuple[float, ...] = (),
    faint: bool = False,
) -> str:
    classes, attributes = [], []
    if fill is not None:
        classes.append(f"fill-{fill}")
        attributes.append(f'fill="{_COLOURS[fill]}"')
        if faint:
            classes.append("faint")
            attributes.append('fill-opacity="0.14"')
    if edge is not None:
        classes.extend((f"edge-{edge}", f"w-{weight}"))
        attributes.append(f'stroke="{_COLOURS[edge]}" stroke-width="{WEIGHT_MM[weight]}"')
        if dash_mm:
            attributes.append(f'stroke-dasharray="{" ".join(map(_number, dash_mm))}"')
    return f'class="{" ".join(classes)}" {" ".join(attributes)}'


def _attributes(**values: float) -> str:
    return " ".join(f'{name}="{_number(value)}"' for name, value in values.items())


def _points(points: tuple[Point, ...]) -> str:
    return " ".join(map(_pair, points))


def _pair(point: Point) -> str:
    return f"{_number(point[0])},{_number(point[1])}"


def _number(value: float) -> str:
    """To the hundredth of a millimetre, as short as can be."""
    text = f"{value:.2f}"
    if text[-1] != "0":  # the usual case: nothing to take away
        return text
    return text[:-1] if text[-2] != "0" else text[:-3]


def _clean(text: str) -> str:
    return _NOT_XML.sub("", text)


def _text(text: str) -> str:
    return escape(_clean(text))
