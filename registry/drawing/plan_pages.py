"""A plan with more panels than the sheet has cells: several pictures, one row on both."""

import itertools
import math
from dataclasses import dataclass
from datetime import date
from functools import partial

from registry.drawing.plan_marks import DefectMark, SpotMark, StateArea
from registry.drawing.plan_picture import plan_picture
from registry.drawing.primitives import Drawing
from registry.plan import Layout, Panel
from registry.units import System

SMALLEST_CELL_MM = 6.0  # a pen mark still fits (house rule of the inspection sheet)
_ROOM_SHARE = (17.0, 36.0)  # width and height taken by letters, numbers, caption, mm


@dataclass(frozen=True)
class _Chunk:
    first: int
    last: int


def plan_pictures(
    layout: Layout | None,
    *,
    on: date,
    size_mm: tuple[float, float],
    system: System,
    spots: tuple[SpotMark, ...] = (),
    states: tuple[StateArea, ...] = (),
    known_defects: tuple[DefectMark, ...] = (),
) -> tuple[Drawing, ...]:
    """The plan in one or more pictures whose panels are at least 6 mm each way.

    Split at a letter, and at a number too where lanes are longer than the paper; the lane or
    row at the split stands on both pictures. Paths and squares always stay in one.
    """
    draw = partial(
        plan_picture,
        layout,
        on=on,
        size_mm=size_mm,
        system=system,
        spots=spots,
        states=states,
        known_defects=known_defects,
    )
    panels = layout.panels_on(on) if layout is not None else ()
    if not panels:
        return (draw(),)
    lanes = sorted({panel.panel_name.lane for panel in panels})
    numbers = sorted({panel.number for panel in panels})
    chunks = _chunks(panels, lanes, numbers, size_mm)
    if len(chunks) == 1:
        return (draw(),)
    pictures = []
    for lane_chunk, number_chunk in chunks:
        shown = tuple(
            panel
            for panel in panels
            if lane_chunk.first <= panel.panel_name.lane <= lane_chunk.last
            and number_chunk.first <= panel.number <= number_chunk.last
        )
        if shown:
            part = _part_name(shown, lane_chunk, number_chunk, numbers)
            pictures.append(draw(panels=shown, part=part))
    return tuple(pictures)


def _part_name(
    shown: tuple[Panel, ...], lanes: _Chunk, numbers: _Chunk, all_numbers: list[int]
) -> str:
    letters = sorted({(panel.panel_name.lane, panel.letter) for panel in shown})
    words = f"part: lanes {letters[0][1]} to {letters[-1][1]}"
    if numbers.first > all_numbers[0] or numbers.last < all_numbers[-1]:
        words += f", {numbers.first} to {numbers.last}"
    return words


def _chunks(
    panels: tuple[Panel, ...],
    lanes: list[int],
    numbers: list[int],
    size_mm: tuple[float, float],
) -> list[tuple[_Chunk, _Chunk]]:
    """The fewest pictures, upright or turned, in which every whole panel is 6 mm each way."""
    wide = max(panel.width_m for panel in panels)
    long = max(panel.length_m for panel in panels)
    scale = SMALLEST_CELL_MM / min(wide, long)
    room = (size_mm[0] - _ROOM_SHARE[0], size_mm[1] - _ROOM_SHARE[1])
    best: list[tuple[_Chunk, _Chunk]] | None = None
    for across, along in (room, room[::-1]):
        most_lanes = max(2, math.floor(across / (wide * scale)))
        most_numbers = max(2, math.floor(along / (long * scale)))
        chunks = [
            (lane_chunk, number_chunk)
            for lane_chunk in _split(lanes, most_lanes)
            for number_chunk in _split(numbers, most_numbers)
        ]
        if best is None or len(chunks) < len(best):
            best = chunks
    return best or []


def _split(values: list[int], most: int) -> list[_Chunk]:
    """Runs of at most `most` values; the last of one is the first of the next."""
    if len(values) <= most:
        return [_Chunk(values[0], values[-1])]
    pieces = math.ceil((len(values) - 1) / (most - 1))
    step = (len(values) - 1) / pieces
    cuts = [round(nth * step) for nth in range(pieces + 1)]
    return [_Chunk(values[start], values[stop]) for start, stop in itertools.pairwise(cuts)]
