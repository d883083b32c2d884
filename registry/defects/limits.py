"""The severity table as data: for each kind, what is measured and where low, moderate and high
part. `grading.py` reads it; forms and sheets may print it.

Boundaries are kept as the table of the trade words them: "up to" includes the limit, "under" and
"over" leave it out. A limit is met where a measure is within a billionth of it, since 1/4 in
turned into metres and back is not 1/4 in to the last bit.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

INCH_M = 0.0254
SQUARE_FOOT_M2 = 0.3048**2
_HAIR = 1e-9


class Source(StrEnum):
    """Where a limit comes from."""

    TRADE = "common practice, no source"
    DISTRESS = (
        "distress identification manual FHWA-HRT-13-092, jointed concrete, limits from memory"
    )
    ADA = "US Access Board, ADA standards 303, from memory"


@dataclass(frozen=True)
class Limit:
    """One thing that is measured, and the severity it gives.

    field     of `Measured`
    level     value to 0 low, 1 moderate, 2 high
    says      the words of each of the three, "" where that one cannot come of it
    source    of the limits
    decides   False for what only adds: without it a severity is still given, as "at least"
    """

    field: str
    level: Callable[[Any], int]
    says: tuple[str, str, str]
    source: Source
    decides: bool = True


def is_over(value: float, limit: float) -> bool:
    """Over the limit by more than the last bits of a conversion."""
    return value > limit * (1 + _HAIR)


def is_under(value: float, limit: float) -> bool:
    """Under the limit by more than the last bits of a conversion."""
    return value < limit * (1 - _HAIR)


def _up_to(low: float, moderate: float) -> Callable[[float], int]:
    """Low up to `low`, moderate up to `moderate`, high over it; both limits included."""
    return lambda value: int(is_over(value, low)) + int(is_over(value, moderate))


def _under(low: float, moderate: float) -> Callable[[float], int]:
    """Low under `low`, moderate from there up to and with `moderate`, high over it."""
    return lambda value: int(not is_under(value, low)) + int(is_over(value, moderate))


def _none_to(moderate: float) -> Callable[[float], int]:
    """Low at none, moderate up to and with `moderate`, high over it."""
    return lambda value: int(value > 0) + int(is_over(value, moderate))


def _high_over(limit: float) -> Callable[[float], int]:
    return lambda value: 2 * int(is_over(value, limit))


def _yes(field: str, level: int, words: str, *, decides: bool = False) -> Limit:
    """A yes gives `level`; a no gives nothing worse than low."""
    says = ("", words, "") if level == 1 else ("", "", words)
    return Limit(field, lambda value: level * int(value), says, Source.TRADE, decides)


def _two_deep() -> Limit:
    words = "two or more stones deep"
    return Limit(
        "stones_deep", lambda deep: 2 * int(deep >= 2), ("", "", words), Source.TRADE, False
    )


_THIRD = _yes("stone_at_third_sweep", 2, "stone still comes at the third sweeping")
_LIP_WORDS = ("no lip", "lip up to 1/4 in (6.4 mm)", "lip over 1/4 in (6.4 mm)")


def _trade(field: str, level: Callable[[Any], int], *says: str, decides: bool = True) -> Limit:
    low, moderate, high = says
    return Limit(field, level, (low, moderate, high), Source.TRADE, decides)


LIMITS: dict[str, tuple[Limit, ...]] = {
    "raveling": (
        _trade(
            "frame_points", _up_to(10, 50),
            "up to 10 of 100 points out", "10 to 50 of 100 points out", "over 50 of 100 points out",
        ),
        _two_deep(),
        _THIRD,
    ),
    "edge_raveling": (
        _trade(
            "width_m", _up_to(INCH_M, 4 * INCH_M),
            "up to 1 in (25 mm) wide", "1 to 4 in (25 to 102 mm) wide", "over 4 in (102 mm) wide",
        ),
        _trade(
            "depth_m", _high_over(INCH_M),
            "", "", "edge lost to a depth over 1 in (25 mm)", decides=False,
        ),
    ),
    "sealed_spot": (
        _trade(
            "area_m2", _up_to(SQUARE_FOOT_M2, 10 * SQUARE_FOOT_M2),
            "up to 1 ft² (0.09 m²)", "1 to 10 ft² (0.09 to 0.93 m²)", "over 10 ft² (0.93 m²)",
        ),
        _yes("is_at_run_on_edge", 2, "at the run-on edge"),
    ),
    "clogged": (
        _trade(
            "water_minutes", _under(10, 60),
            "water gone in under 10 min", "water stands 10 to 60 min", "water stands over 60 min",
        ),
        _yes("is_below_action_level", 2, "a test there is below the action level"),
    ),
    "crack": (
        # The manual calls exactly 6 mm high and parts at 75 mm and 6 mm, not 3 in and 1/4 in; the
        # table of the trade, which follows it, is kept.
        Limit(
            "crack_width_m", _under(0.003, 0.006),
            ("under 3 mm (0.12 in) wide", "3 to 6 mm (0.12 to 0.24 in) wide",
             "over 6 mm (0.24 in) wide"),
            Source.DISTRESS,
        ),
        Limit("lip_m", _none_to(0.25 * INCH_M), _LIP_WORDS, Source.DISTRESS, False),
        Limit(
            "ravels_to_m", _none_to(3 * INCH_M),
            ("edges do not ravel", "edges ravel up to 3 in (76 mm)",
             "edges ravel wider than 3 in (76 mm)"),
            Source.DISTRESS, False,
        ),
    ),
    "corner_break": (
        _trade("lip_m", _none_to(0.25 * INCH_M), *_LIP_WORDS),
        _yes("moves", 2, "it rocks under foot"),
    ),
    "lip": (
        _trade(
            "lip_m", lambda lip: int(not is_under(lip, 0.125 * INCH_M)),
            "under 1/8 in (3.2 mm)", "1/8 to 1/4 in (3.2 to 6.4 mm)", "",
        ),
        Limit(
            "lip_m", _high_over(0.25 * INCH_M), ("", "", "over 1/4 in (6.4 mm)"),
            Source.ADA, False,
        ),
    ),
    "settlement": (
        _trade(
            "depth_m", _up_to(0.375 * INCH_M, 0.75 * INCH_M),
            "up to 3/8 in (10 mm) low", "3/8 to 3/4 in (10 to 19 mm) low",
            "over 3/4 in (19 mm) low",
        ),
        _yes("holds_water", 2, "it holds water"),
    ),
    "scaling": (
        _trade(
            "stones_deep", lambda deep: int(not is_under(deep, 0.5)),
            "only the paste skin is gone", "stones bared by half or more", "",
        ),
        _yes("is_loose", 2, "stones are loose"),
    ),
    "plow_scrape": (
        _yes("has_broken_stones", 1, "broken stones", decides=True),
        _trade(
            "depth_m", _high_over(0.25 * INCH_M),
            "", "", "a groove over 1/4 in (6.4 mm) deep", decides=False,
        ),
    ),
    "abrasion": (
        _trade(
            "frame_points", _none_to(10),
            "polished, no stone out", "up to 10 of 100 points out", "over 10 of 100 points out",
        ),
        _two_deep(),
        _THIRD,
    ),
    "spall": (
        Limit(
            "width_m", _under(3 * INCH_M, 6 * INCH_M),
            ("under 3 in (76 mm) wide", "3 to 6 in (76 to 152 mm) wide",
             "over 6 in (152 mm) wide"),
            Source.DISTRESS,
        ),
        _yes("is_loose", 2, "pieces are loose"),
    ),
    "stain": (
        _trade(
            "pours", ("normal", "slow", "sealed").index,
            "a matter of looks only", "water goes in slowly", "sealed: water does not go in",
        ),
    ),
    "discoloration": (),
    "growth": (
        _trade(
            "panel_share", _under(0.10, 0.50),
            "spots, under 10 % of the panel", "10 to 50 % of the panel", "over 50 % of the panel",
        ),
        _yes("is_slippery", 2, "it is slippery"),
    ),
    "prints": (
        _trade(
            "depth_m", _under(0.25 * INCH_M, 0.5 * INCH_M),
            "under 1/4 in (6.4 mm) deep", "1/4 to 1/2 in (6.4 to 12.7 mm) deep",
            "over 1/2 in (12.7 mm) deep",
        ),
    ),
    "joint_stone_low": (
        _trade(
            "depth_m", _up_to(0.5 * INCH_M, INCH_M),
            "up to 1/2 in (13 mm) down", "1/2 to 1 in (13 to 25 mm) down", "over 1 in (25 mm) down",
        ),
        _yes("moves", 2, "a paver moves"),
    ),
    "edge_loss": (
        _trade(
            "has_void", lambda void: 2 if void else 1,
            "", "a gap is seen", "a void under the slab",
        ),
    ),
    "ponding": (),
}  # fmt: skip
"""Kind code to its limits, the deciding ones first. The worst of those met counts."""
