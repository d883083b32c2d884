"""What has to be made safe today, and why a crack matters.

A change in level up to 1/4 in may be vertical; over 1/4 up to 1/2 in it is bevelled no steeper
than 1:2; over 1/2 in it needs a ramp (US Access Board, ADA standards 303, from memory). The same
day is this record's own rule. Reasons why cracks matter: common practice, no source. Local codes
and licensed practice decide.
"""

from dataclasses import dataclass

from registry.defects.kinds import kind_of
from registry.defects.limits import INCH_M, is_over, is_under
from registry.defects.measured import Measured
from registry.units import Kind, System, show

VERTICAL_M = 0.25 * INCH_M
BEVEL_M = 0.5 * INCH_M
RAVELS_OVER_M = 1 * INCH_M
LIP_GROWTH_M = INCH_M / 16
SMALL_PIECE_M = 4 * 0.3048
EARLY_DAYS = 28
EARLY_SHARE = 0.10
TIGHT_M = 0.003

_CAUTION = (
    "Mark or close the place and keep people off it until it is safe. Grinding makes silica dust: "
    "wet or with a vacuum, with a mask. Local codes and licensed practice decide what is enough."
)
_EDGE_CAUTION = (
    "The step down here is over 1/4 in (6.4 mm): on an accessible route it may count as a change "
    "in level. Look, and ask who answers for the route."
)
_STEPS = frozenset({"edge_raveling", "plow_scrape", "spall", "prints", "joint_stone_low"})


@dataclass(frozen=True)
class Urgency:
    """Whether a defect has to be made safe the same day.

    is_urgent  None where that is not decided; `why` then asks what is missing
    act_by     "today" or ""
    why        one or two sentences, measures in inch-pound and SI; "" where no rule asks for haste
    caution    what to heed on the spot, "" if nothing
    """

    is_urgent: bool | None
    act_by: str
    why: str
    caution: str


@dataclass(frozen=True)
class CrackFacts:
    """What else is known about a crack. None: nobody knows; that gives no reason.

    lip_growth_m_a    growth of its lip, m a year
    follows           "trench", "drain" or "tree" if it runs along one, else ""
    piece_m           longest side of the smallest piece into which it splits the panel
    age_days          of the concrete when the crack was first seen
    cracked_share     panels cracked by then, 0 to 1
    is_map            it forms a map of many fine lines
    is_jointed        the panel has joints
    """

    lip_growth_m_a: float | None = None
    follows: str = ""
    piece_m: float | None = None
    age_days: int | None = None
    cracked_share: float | None = None
    is_map: bool | None = None
    is_jointed: bool | None = None


def urgent(kind: str, measured: Measured, on_accessible_route: bool | None) -> Urgency:
    """Whether it has to be made safe today. Raises UnknownKind.

    on_accessible_route  None where nobody has said; never taken for a no
    """
    lip, asks_lip = measured.lip_m, "lip_m" in kind_of(kind).asks
    caution = (
        _EDGE_CAUTION if _steps_down(kind, measured) and on_accessible_route is not False else ""
    )
    if lip is None:
        if asks_lip and on_accessible_route is not False:
            return Urgency(None, "", _ask_lip(on_accessible_route), _CAUTION)
        return Urgency(False, "", "", caution)
    if not is_over(lip, VERTICAL_M):
        return Urgency(False, "", "", caution)
    height = f"The lip of {both(lip)} is over 1/4 in (6.4 mm)"
    if on_accessible_route is None:
        why = f"{height}. Not decided: is this an accessible route? If it is, act today."
        return Urgency(None, "", why, _CAUTION)
    if on_accessible_route:
        return Urgency(True, "today", f"{height} on an accessible route. {_mend(lip)}", _CAUTION)
    why = f"{height}, off the accessible route. People may still trip: do they walk here?"
    return Urgency(False, "", why, _CAUTION)


def crack_reasons(
    measured: Measured, on_accessible_route: bool | None, facts: CrackFacts
) -> tuple[str, ...]:
    """Why a crack or broken corner matters, in words; () where none of the reasons is shown."""
    lip = measured.lip_m is not None and is_over(measured.lip_m, VERTICAL_M)
    on_route = {
        True: "on an accessible route: act today",
        False: "off the accessible route",
        None: "and nobody has said whether people walk here",
    }
    ravels = measured.ravels_to_m is not None and is_over(measured.ravels_to_m, RAVELS_OVER_M)
    reasons = {
        f"Lip over 1/4 in (6.4 mm), {on_route[on_accessible_route]}.": lip,
        "The corner or piece rocks.": bool(measured.moves),
        "The lip grows over 1/16 in (1.6 mm) a year.": _over(facts.lip_growth_m_a, LIP_GROWTH_M),
        "Its edges ravel wider than 1 in (25 mm).": ravels,
        f"It follows a {facts.follows}: look at the base.": bool(facts.follows),
        "It splits the panel into pieces under 4 ft (1.2 m).": (
            facts.piece_m is not None and is_under(facts.piece_m, SMALL_PIECE_M)
        ),
        "It came in the first 28 days, in over 10 % of the panels: joints late, too shallow or too "
        "far apart?": (
            facts.age_days is not None
            and facts.age_days <= EARLY_DAYS
            and _over(facts.cracked_share, EARLY_SHARE)
        ),
        "It forms a map: frost or material; take a core.": bool(facts.is_map),
    }
    return tuple(words for words, holds in reasons.items() if holds)


def crack_advice(measured: Measured, facts: CrackFacts) -> tuple[str, ...]:
    """What to do with a crack, where it is tight, and before anyone seals it."""
    width = measured.crack_width_m
    tight = width is not None and is_under(width, TIGHT_M) and measured.lip_m == 0
    look = "Tight, without a lip, in a jointed panel: note it, photo with scale, look yearly."
    seal = "Never seal it flush without asking which path of the water that closes."
    return (look, seal) if tight and facts.is_jointed else (seal,)


def both(length_m: float) -> str:
    """A small length in both systems: "0.35 in (8.9 mm)"."""
    inches = show(1000 * length_m, Kind.SMALL_LENGTH, System.INCH_POUND)
    return f"{inches} ({show(1000 * length_m, Kind.SMALL_LENGTH, System.SI)})"


def _mend(lip_m: float) -> str:
    if is_over(lip_m, BEVEL_M):
        return "Over 1/2 in (12.7 mm) it needs a ramp: make it safe today."
    return "Untreated that is not allowed; up to 1/2 in (12.7 mm) a bevel of 1:2 may do: act today."


def _ask_lip(on_accessible_route: bool | None) -> str:
    route = "" if on_accessible_route else " Is this an accessible route?"
    return f"Not decided: the lip is not measured.{route}"


def _steps_down(kind: str, measured: Measured) -> bool:
    return kind in _STEPS and _over(measured.depth_m, VERTICAL_M)


def _over(value: float | None, limit: float) -> bool:
    return value is not None and is_over(value, limit)
