"""Did it work: what is suggested of an order that was done; a person decides.

Judged by what was done (rows, passes, surface) and, for a restorative cleaning, by dry tests before
and after at the same spots (N7, `registry.measuring.cleaning_gain`). A plain sweep needs no tests.
Common practice, no source, but for the wet surface, see `weather_rules`.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from registry.measuring import Gain, NoGain, is_below
from registry.planning.methods import DRY, RESTORATIVE, Method
from registry.planning.proposal import DRY_GAIN_ENOUGH

DRY_NOT_SHOWN = "dry not shown"  # a note of `cleaning_gain`
NOISE = 0.85  # of the rate before: 10 to 15 % less is within what tests differ by


class Suggestion(Enum):
    """What is suggested, in words."""

    ACCEPT = "accept"
    IN_PART = "accept in part, do the rest"
    REDO = "to redo"
    NOT_DECIDED = "not decided"


@dataclass(frozen=True)
class SpotGain:
    """One spot: its gain or why none, and the rate after, mm/h and sign (None: not tested)."""

    spot: str
    gain: Gain | NoGain
    after_mm_h: float | None = None
    after_sign: str = ""


@dataclass(frozen=True)
class DoneOrder:
    """What was asked and what was done. None is not known or not asked.

    rows_missed      of the rows asked, with the reason as written ("" none)
    surface          "dry", "damp", "wet", "frost" or "" not written
    debris_look      "aggregate" for stone of the surface itself
    """

    method: Method
    passes_asked: int | None
    passes_done: int | None
    rows_missed: tuple[tuple[str, str], ...] = ()
    must_be_dry: bool | None = None
    surface: str = ""
    debris_look: str = ""
    damage: str = ""
    spots: tuple[SpotGain, ...] = ()
    action_mm_h: float | None = None


@dataclass(frozen=True)
class Judgement:
    """The suggestion with every reason, and what to mind next; a person decides.

    missing  what would decide it
    """

    suggestion: Suggestion
    reasons: tuple[str, ...]
    next_steps: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()


def judge_order(order: DoneOrder) -> Judgement:
    """Return what is suggested: what must be redone goes before what is missing."""
    steps = tuple(_next_steps(order))
    redo = tuple(_redo_reasons(order))
    if redo:
        return Judgement(Suggestion.REDO, redo, steps)
    missing = tuple(_missing(order))
    if missing:
        return Judgement(
            Suggestion.NOT_DECIDED, tuple(f"Not known: {m}." for m in missing), steps, missing
        )
    if order.rows_missed:
        words = ", ".join(f"{row} ({why or 'no reason'})" for row, why in order.rows_missed)
        return Judgement(Suggestion.IN_PART, (f"Not done: {words}.",), steps)
    return Judgement(Suggestion.ACCEPT, tuple(_good_reasons(order)), steps)


def _needs_dry(order: DoneOrder) -> bool:
    return order.method in DRY if order.must_be_dry is None else order.must_be_dry


def _redo_reasons(order: DoneOrder) -> Iterator[str]:
    done, asked = order.passes_done, order.passes_asked
    if asked and done is not None and done < asked:
        yield f"{done} of {asked} passes."
    if _needs_dry(order) and order.surface in {"damp", "wet", "frost"}:
        yield f"The surface was {order.surface}; the method asks for a dry one."
    for spot in order.spots:
        gain = spot.gain
        dry = isinstance(gain, Gain) and DRY_NOT_SHOWN not in gain.notes
        if isinstance(gain, Gain) and dry and gain.sign != ">" and gain.factor < NOISE:
            yield f"{spot.spot} is lower than before: gain {gain.text}."


def _missing(order: DoneOrder) -> Iterator[str]:
    if order.passes_asked and order.passes_done is None:
        yield "passes done"
    if _needs_dry(order) and not order.surface:
        yield "whether the surface was dry"
    if order.method in RESTORATIVE:
        gains = [spot for spot in order.spots if isinstance(spot.gain, Gain)]
        if not gains:
            yield "dry tests before and after at one spot"
        elif all(DRY_NOT_SHOWN in g.gain.notes for g in gains if isinstance(g.gain, Gain)):
            yield "that the tests before and after were dry"


def _good_reasons(order: DoneOrder) -> Iterator[str]:
    done = order.passes_done
    yield "All rows done." if done is None else f"All rows, {done} pass{'es'[: 2 * (done != 1)]}."
    for spot in order.spots:
        if isinstance(spot.gain, Gain):
            yield f"{spot.spot}: gain {spot.gain.text}."


def _next_steps(order: DoneOrder) -> Iterator[str]:
    """What follows whatever is decided of the order."""
    if order.debris_look == "aggregate":
        yield "Stone of the surface was in the debris: stop this method here and look for raveling."
    if order.damage:
        yield f"Damage is written ({order.damage}): settle it before paying."
    for spot in order.spots:
        gain = spot.gain
        weak = isinstance(gain, Gain) and gain.sign != ">" and gain.factor < DRY_GAIN_ENOUGH
        if weak and order.method not in RESTORATIVE:
            yield f"{spot.spot} gained under {DRY_GAIN_ENOUGH}: pores shut; wash and vacuum next."
        if _is_still_below(spot, order.action_mm_h):
            yield f"{spot.spot} is still below its action level: see whether sweeping is enough."


def _is_still_below(spot: SpotGain, action_mm_h: float | None) -> bool:
    if spot.after_mm_h is None or action_mm_h is None:
        return False
    return is_below(spot.after_mm_h, spot.after_sign, action_mm_h) is True
