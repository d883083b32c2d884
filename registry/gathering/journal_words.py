"""Lists in journal lines, as people write them: points, ties, rectangles, names."""

import ast
from collections.abc import Mapping, Sequence
from typing import Any

from registry.units import Kind, System, show


def journal_words(text: str, system: System | str) -> str:
    """Return a text of a journal line; a list kept in metres is told in a system of units.

    A text that only looks like a list is somebody's own words and stays as it is.
    """
    if not text.startswith(("[", "{")):
        return text
    try:
        stored = ast.literal_eval(text)
    except (ValueError, SyntaxError):
        return text
    if isinstance(stored, Mapping):
        return ", ".join(f"{old} = {new}" for old, new in stored.items()) or text
    said = [_said(thing, System(system)) for thing in stored]
    return "; ".join(part for part in said if part) if all(said) and said else text


def _said(thing: Any, system: System) -> str:
    """Return one thing of a list; nothing where it is of no shape known here."""
    if isinstance(thing, str):
        return thing
    if isinstance(thing, Mapping):
        return _named(thing, system)
    if isinstance(thing, Sequence) and all(isinstance(n, int | float) for n in thing):
        if len(thing) == 2:
            return _point(thing[0], thing[1], system)
        if len(thing) == 4:
            return _rectangle(thing, system)
    return ""


def _named(thing: Mapping[str, Any], system: System) -> str:
    if "distance_m" in thing and "to" in thing:
        return f"{_length(thing['distance_m'], system)} to {thing['to']}"
    if "kind" in thing and "right_m" in thing and "up_m" in thing:
        at = _point(thing["right_m"], thing["up_m"], system)
        to = thing.get("to")
        name = f"{str(thing['kind']).replace('_', '-')} {thing.get('name', '')}".strip()
        return f"{name}: {at}{f' to {_point(to[0], to[1], system)}' if to else ''}"
    if "name" in thing:
        used_by = thing.get("used_by")
        return f"{thing['name']}{f', used by {used_by}' if used_by else ''}"
    return ""


def _point(right_m: float, up_m: float, system: System) -> str:
    side = "L" if right_m < 0 else "R"
    return f"{side} {_length(abs(right_m), system)} U {_length(up_m, system)}"


def _rectangle(thing: Sequence[float], system: System) -> str:
    left, low, width, length = thing
    ends = [_length(m, system) for m in (left, left + width, low, low + length)]
    return f"R {ends[0]} to {ends[1]}, U {ends[2]} to {ends[3]}"


def _length(metres: float, system: System) -> str:
    return show(metres, Kind.LENGTH, system)
