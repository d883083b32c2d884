"""What was measured of one defect on one day, SI. None: nobody measured or said it."""

import math
from dataclasses import dataclass, fields

from registry.defects.faults import MeasureError

POURS = ("normal", "slow", "sealed")
"""How water goes in where it is poured on the spot."""

DIRECTIONS = ("up", "down", "left", "right", "up_down", "left_right", "slanting")
"""Which way a blade went, as the plan has up and right; the last three tell a line and no side."""

ZERO_TO = {"frame_points": (100.0, "A string frame has 100 points: write 0 to 100."),
           "panel_share": (1.0, "A part of a panel lies between none and all of it.")}  # fmt: skip

WORDS: dict[str, str] = {
    "area_m2": "area",
    "length_m": "length",
    "width_m": "width of the band",
    "crack_width_m": "width at the widest place",
    "typical_width_m": "typical width",
    "lip_m": "lip",
    "depth_m": "depth",
    "size_m": "size",
    "count": "count",
    "frame_points": "points of the string frame",
    "stones_deep": "depth in stones",
    "stone_at_third_sweep": "whether stone still comes at the third sweeping",
    "swept_kg": "stone swept by 10 broom strokes",
    "water_minutes": "minutes that water stands",
    "is_below_action_level": "whether a test there is below the action level",
    "is_at_run_on_edge": "whether it lies at the run-on edge",
    "panel_share": "part of the panel",
    "moves": "whether it moves or rocks under foot",
    "is_loose": "whether stones or pieces are loose",
    "has_broken_stones": "whether stones are broken",
    "holds_water": "whether it holds water",
    "is_slippery": "whether it is slippery",
    "has_void": "whether there is a void under the slab",
    "pours": "how water poured on it goes in",
    "ravels_to_m": "how wide its edges ravel",
    "direction": "direction",
}
"""Field to what the trade calls it, for forms and sentences."""


@dataclass(frozen=True)
class Measured:
    """Measures of one observation. Lengths in m, areas in m2, mass in kg.

    width_m            of a band: raveling along a joint, clogged strip, spall
    crack_width_m      at the widest place; typical_width_m elsewhere along it
    size_m             longer side of what broke off or rocks
    count              how many of them
    frame_points       crossings of a 100-point string frame with stone out, 0 to 100
    stones_deep        depth of the loss in stones: 0.5 is a stone half bared, 1 one stone out
    water_minutes      from the end of rain, or of pouring, to water gone
    panel_share        0 to 1
    pours              one of POURS, "" if not tried
    direction          one of DIRECTIONS, "" if not told
    ravels_to_m        how far from the crack its edges ravel; 0: they do not

    Raises MeasureError where a measure cannot be true.
    """

    area_m2: float | None = None
    length_m: float | None = None
    width_m: float | None = None
    crack_width_m: float | None = None
    typical_width_m: float | None = None
    lip_m: float | None = None
    depth_m: float | None = None
    size_m: float | None = None
    count: int | None = None
    frame_points: float | None = None
    stones_deep: float | None = None
    stone_at_third_sweep: bool | None = None
    swept_kg: float | None = None
    water_minutes: float | None = None
    is_below_action_level: bool | None = None
    is_at_run_on_edge: bool | None = None
    panel_share: float | None = None
    moves: bool | None = None
    is_loose: bool | None = None
    has_broken_stones: bool | None = None
    holds_water: bool | None = None
    is_slippery: bool | None = None
    has_void: bool | None = None
    pours: str = ""
    ravels_to_m: float | None = None
    direction: str = ""

    def __post_init__(self) -> None:
        for field in fields(self):
            value = getattr(self, field.name)
            if isinstance(value, int | float) and not isinstance(value, bool):
                _refuse_untrue(field.name, value)
        if self.count is not None and self.count != int(self.count):
            raise MeasureError("The count is a whole number.")
        if self.pours and self.pours not in POURS:
            raise MeasureError(f"Say how water goes in: {', '.join(POURS)}.")
        if self.direction and self.direction not in DIRECTIONS:
            raise MeasureError(f"Say which way it runs: {', '.join(DIRECTIONS)}.")
        if (
            self.typical_width_m is not None
            and self.crack_width_m is not None
            and self.typical_width_m > self.crack_width_m
        ):
            raise MeasureError(
                "The typical width of a crack cannot be more than the width at its widest place."
            )

    def has(self, field: str) -> bool:
        """Whether somebody measured or said it."""
        return getattr(self, field) not in (None, "")


def _refuse_untrue(field: str, value: float) -> None:
    word = WORDS[field]
    if not math.isfinite(value):
        raise MeasureError(f"The {word} is not a number.")
    if value < 0:
        raise MeasureError(f"The {word} cannot be below 0.")
    if field in ZERO_TO and value > ZERO_TO[field][0]:
        raise MeasureError(ZERO_TO[field][1])
