"""What the surface has to take: run-on, required rate, action level, width and reserve (N8-N10).

symbol  meaning                                       unit
i       design intensity of the permit                mm/h
A_p     pavement area                                 m2
A_j     a run-on area, with runoff coefficient C_j    m2, 1
R       run-on ratio, sum A_j / A_p                   1
I_req   required rate, i (1 + sum C_j A_j / A_p)      mm/h
I_act   action level, the larger of the floor and factor I_req
w       width of sound surface needed behind the clogged strip    m

N9: w = (i C L + max(i - I_d, 0) w_d) / (I_f - i), per length of run-on edge; C L run-on length
times coefficient, w_d the clogged strip and I_d its rate, I_f the rate of the field beyond.
Reserve = (W - w_d - w) / W. Common practice and this record's own rule, no published source.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from registry.faults import DomainError

FLOOR_MM_H = 254.0  # 10 in/h where an agency says nothing else
FACTOR = 2.0


class InvalidDemand(DomainError):
    """Numbers that no pavement or rain can have."""


@dataclass(frozen=True)
class RunOn:
    """One area that drains onto the pavement.

    coefficient  runoff coefficient, 0 to 1
    paved        paved or roof, against soil or grass
    in_doubt     not walked in the rain or levelled
    """

    area_m2: float
    coefficient: float
    paved: bool = True
    in_doubt: bool = False

    def __post_init__(self) -> None:
        _check(self.area_m2, "A run-on area", at_least=0)
        _check(self.coefficient, "A runoff coefficient", at_least=0)
        if self.coefficient > 1:
            raise InvalidDemand(f"A runoff coefficient is at most 1, not {self.coefficient:g}.")


@dataclass(frozen=True)
class Demand:
    """N8 and N10: ratio, shown paved and soil apart, and required rate.

    run_on_assumed  some run-on area is in doubt: print "run-on assumed" beside every number
    """

    required_mm_h: float
    ratio: float
    ratio_paved: float
    ratio_soil: float
    run_on_assumed: bool


@dataclass(frozen=True)
class ActionLevel:
    """The rate below which something must be done, and the number that made it."""

    mm_h: float
    made_by: str  # "floor" or "required rate"
    floor_mm_h: float
    factor: float


@dataclass(frozen=True)
class WidthNeeded:
    """N9. `sign` is "<" or ">" where a rate was a bound; it belongs to width_m.

    reserve  share of the whole width left over, negative where too little is left; its bound
             points the other way from that of width_m
    """

    width_m: float
    width_left_m: float
    reserve: float
    sign: str

    @property
    def reserve_sign(self) -> str:
        return {"": "", "<": ">", ">": "<"}[self.sign]

    @property
    def is_enough(self) -> bool | None:
        """Whether the width left suffices; None if a bound leaves it open."""
        enough = self.width_m <= self.width_left_m
        if (enough and self.sign == ">") or (not enough and self.sign == "<"):
            return None
        return enough


@dataclass(frozen=True)
class NoWidth:
    code: str
    reason: str


def required_rate(
    intensity_mm_h: float, pavement_area_m2: float, run_on: Iterable[RunOn]
) -> Demand:
    """Ratio and required surface rate. Raises InvalidDemand for areas or rain that cannot be."""
    _check(intensity_mm_h, "The design intensity", above=0)
    _check(pavement_area_m2, "The pavement area", above=0)
    areas = tuple(run_on)
    paved = sum(a.area_m2 for a in areas if a.paved) / pavement_area_m2
    soil = sum(a.area_m2 for a in areas if not a.paved) / pavement_area_m2
    effective = sum(a.coefficient * a.area_m2 for a in areas) / pavement_area_m2
    return Demand(
        required_mm_h=intensity_mm_h * (1 + effective),
        ratio=paved + soil,
        ratio_paved=paved,
        ratio_soil=soil,
        run_on_assumed=any(a.in_doubt for a in areas),
    )


def action_level(
    required_mm_h: float, *, floor_mm_h: float = FLOOR_MM_H, factor: float = FACTOR
) -> ActionLevel:
    """The larger of the floor and `factor` times the required rate, mm/h."""
    _check(required_mm_h, "The required rate", above=0)
    _check(floor_mm_h, "The floor", at_least=0)
    _check(factor, "The factor", above=0)
    by_factor = factor * required_mm_h
    made_by = "floor" if floor_mm_h >= by_factor else "required rate"
    return ActionLevel(max(floor_mm_h, by_factor), made_by, floor_mm_h, factor)


def width_needed(
    *,
    intensity_mm_h: float,
    effective_run_on_m: float,
    strip_width_m: float,
    strip_rate_mm_h: float,
    field_rate_mm_h: float,
    width_m: float,
    strip_sign: str = "",
    field_sign: str = "",
) -> WidthNeeded | NoWidth:
    """N9, per length of run-on edge.

    effective_run_on_m  run-on length times runoff coefficient, C L
    strip_width_m       width of the clogged strip, w_d
    width_m             whole width behind the edge, W
    strip_sign, field_sign  "" or the sign of a bound

    A rate known to be lower than stated needs more width, so the result carries ">"; where the
    two bounds pull apart nothing can be said.
    """
    _check(intensity_mm_h, "The design intensity", above=0)
    _check(effective_run_on_m, "The run-on length", at_least=0)
    _check(strip_width_m, "The clogged strip", at_least=0)
    _check(strip_rate_mm_h, "The rate of the clogged strip", at_least=0)
    _check(field_rate_mm_h, "The rate of the field", at_least=0)
    _check(width_m, "The width", above=0)
    if strip_width_m > width_m:
        raise InvalidDemand("The clogged strip is wider than the pavement.")
    if field_rate_mm_h <= intensity_mm_h:
        if field_sign == ">":
            return NoWidth(
                "field_bound", "The rate of the field is only known to be above a bound."
            )
        return NoWidth("field_too_slow", "The field cannot take the rain alone.")
    short = max(intensity_mm_h - strip_rate_mm_h, 0.0)
    strip_counts = strip_sign if strip_width_m > 0 and (short > 0 or strip_sign == "<") else ""
    signs = {strip_counts, field_sign} - {""}
    if len(signs) > 1:
        return NoWidth("bounds", "Two bounds pull the width apart; test again.")
    carried = intensity_mm_h * effective_run_on_m + short * strip_width_m
    width = carried / (field_rate_mm_h - intensity_mm_h)
    left = width_m - strip_width_m
    sign = {"": "", "<": ">", ">": "<"}["".join(signs)]
    return WidthNeeded(width, left, (left - width) / width_m, sign)


def largest_intensity(rate_mm_h: float, pavement_area_m2: float, run_on: Iterable[RunOn]) -> float:
    """The hardest rain, mm/h, that a measured rate takes with this run-on; N8 turned round."""
    _check(rate_mm_h, "The rate", above=0)
    return rate_mm_h / required_rate(1.0, pavement_area_m2, run_on).required_mm_h


def largest_run_on_ratio(rate_mm_h: float, intensity_mm_h: float, coefficient: float) -> float:
    """The largest run-on ratio of one coefficient that a rate takes; 0 if it takes only the rain.

    Raises InvalidDemand if the surface cannot take the rain alone.
    """
    _check(rate_mm_h, "The rate", above=0)
    _check(intensity_mm_h, "The design intensity", above=0)
    _check(coefficient, "A runoff coefficient", above=0)
    if rate_mm_h < intensity_mm_h:
        raise InvalidDemand("The surface cannot take the rain alone.")
    return (rate_mm_h / intensity_mm_h - 1) / coefficient


def runoff_m3_s(coefficient: float, intensity_mm_h: float, area_m2: float) -> float:
    """Peak flow off an area by the rational formula Q = C i A, m3/s."""
    _check(coefficient, "A runoff coefficient", at_least=0)
    _check(intensity_mm_h, "The intensity", at_least=0)
    _check(area_m2, "The area", at_least=0)
    return coefficient * intensity_mm_h / 1000 / 3600 * area_m2


def _check(
    value: float, what: str, *, above: float | None = None, at_least: float | None = None
) -> None:
    if not math.isfinite(value):
        raise InvalidDemand(f"{what} is not a number.")
    if above is not None and value <= above:
        raise InvalidDemand(f"{what} must be above {above:g}, not {value:g}.")
    if at_least is not None and value < at_least:
        raise InvalidDemand(f"{what} must be at least {at_least:g}, not {value:g}.")
