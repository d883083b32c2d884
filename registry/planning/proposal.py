"""The method of cleaning proposed for what was found on a surface; a person chooses.

Each rule names its source; `[P]` in words: common practice, no source.
"""

from dataclasses import dataclass
from enum import Enum

from registry.planning.methods import (
    BY_TRUCK,
    ON_FOOT,
    Method,
    SurfaceKind,
    cautions_of,
    why_not_on,
)
from registry.planning.rules import Breach
from registry.planning.sizes import Sizes, size_breaches
from registry.planning.words import NotDecided

DRY_GAIN_ENOUGH = 1.3  # after over before of a dry vacuum, below which the pores are shut
# Danz, Selbig and Buer, Water 2020, 12(6).
WASH_SOURCE = (
    "of six practices on pervious concrete a wash with high suction was most effective "
    "(Danz, Selbig, Buer 2020)"
)
PRACTICE = "common practice, no source"
RESTORE_FIRST = "a usable rate lies below the action level: a restorative cleaning"


class Find(Enum):
    """What lies on or in the surface, in words. In the order in which the main method is chosen."""

    PORES_SHUT = "pores shut at the surface"
    JOINT_STONE_DIRTY = "joint stone dirty"
    MOSS = "moss"
    DUST_OR_SAND = "dry dust or sand on top"
    LEAVES = "loose leaves or litter"
    OIL_OR_FOOD = "oil or food"


METHOD_FOR: dict[Find, Method] = {
    Find.PORES_SHUT: Method.WASH_AND_VACUUM,
    Find.JOINT_STONE_DIRTY: Method.JOINT_STONE,
    Find.MOSS: Method.MOSS_BRUSHED,
    Find.DUST_OR_SAND: Method.VACUUM,
    Find.LEAVES: Method.BROOM,
    Find.OIL_OR_FOOD: Method.HAND_TOOLS,
}
NOTE_FOR: dict[Find, str] = {
    Find.MOSS: "Dry, with a stiff brush, then vacuum.",
    Find.DUST_OR_SAND: "Dry, at walking speed; regenerative air does too.",
    Find.OIL_OR_FOOD: "Absorbent, hot water, collect it.",
}
BY_CLASS: dict[str, Method] = {
    "broom": Method.BROOM,
    "regenerative_air": Method.REGENERATIVE_AIR,
    "vacuum": Method.VACUUM,
    "wash_and_vacuum": Method.WASH_AND_VACUUM,
}


@dataclass(frozen=True)
class Found:
    """What is known of a surface.

    finds            as written at a look
    dry_gain         gain of the last dry vacuum, after / before; None: none known
    cheapest_class   of the methods that hold for ever at this pavement, the cheapest by the fit
    is_below         whether the lowest usable rate lies below the action level; None: not known
    """

    surface: SurfaceKind | None
    finds: frozenset[Find] = frozenset()
    dry_gain: float | None = None
    cheapest_class: str = ""
    is_below: bool | None = None


@dataclass(frozen=True)
class WayIn:
    """How a machine gets there: limits (None in them: no limit), and the machines there are."""

    limits: Sizes | None = None
    machines: tuple[tuple[Method, Sizes], ...] = ()


@dataclass(frozen=True)
class Proposal:
    """method, why in one line with its source, what else to do and with what, what to mind.

    instead_of   the method that would be proposed if a truck could go; None where it can
    breaches     what keeps the truck out
    """

    method: Method
    why: str
    source: str
    beside: tuple[Method, ...] = ()
    cautions: tuple[str, ...] = ()
    instead_of: Method | None = None
    breaches: tuple[Breach, ...] = ()


def proposed_method(found: Found, way_in: WayIn | None = None) -> Proposal | NotDecided:
    """Return the method proposed, or what is missing to propose one."""
    if found.surface is None:
        return NotDecided("The kind of surface is not known.", ("kind of surface",))
    chosen = _choose(found)
    if isinstance(chosen, NotDecided):
        return chosen
    method, why, source, notes = chosen
    if method is Method.WASH_AND_VACUUM and found.surface in {
        SurfaceKind.PERMEABLE_PAVERS, SurfaceKind.GRID,
    }:  # fmt: skip
        method, why = Method.JOINT_STONE, f"{why}; with joints: vacuum out, refill washed stone"
        source = PRACTICE
    if not_there := why_not_on(method, found.surface):
        return NotDecided(f"{why}: {not_there} Look again.", ("what was found",))
    reached, breaches = _reach(method, way_in or WayIn())
    if breaches:
        why = f"{why}; no truck: {breaches[0].words}"
    others = (METHOD_FOR[find] for find in Find if find in found.finds)
    return Proposal(
        method=reached,
        why=why,
        source=source,
        beside=tuple(m for m in others if m is not method),
        cautions=(*notes, *cautions_of(reached, found.surface)),
        instead_of=method if reached is not method else None,
        breaches=breaches,
    )


def _choose(found: Found) -> tuple[Method, str, str, tuple[str, ...]] | NotDecided:
    """Method, why, source and notes: by the level, the finds, the last dry gain, the fit.

    Below the action level it is a restorative cleaning, as the condition word asks, unless a dry
    vacuum is known to gain enough: what holds a surface for ever at the least cost does not bring
    one back.
    """
    gain = found.dry_gain
    finds = set(found.finds)
    if gain is not None and gain < DRY_GAIN_ENOUGH and finds <= {Find.DUST_OR_SAND}:
        why = f"dry vacuum gained {gain:.2g}, under {DRY_GAIN_ENOUGH}: pores shut at the surface"
        return Method.WASH_AND_VACUUM, why, WASH_SOURCE, ()
    if found.is_below and (gain is None or gain < DRY_GAIN_ENOUGH):
        source = WASH_SOURCE if found.surface is SurfaceKind.PERVIOUS_CONCRETE else PRACTICE
        return Method.WASH_AND_VACUUM, RESTORE_FIRST, source, ()
    for find in Find:
        if find in finds:
            source = WASH_SOURCE if find is Find.PORES_SHUT else PRACTICE
            note = NOTE_FOR.get(find)
            return METHOD_FOR[find], find.value, source, (note,) if note else ()
    if found.cheapest_class in BY_CLASS and not found.is_below:
        why = "the cheapest method that the fit expects to keep the action level held"
        return BY_CLASS[found.cheapest_class], why, "the fit of its pool", ()
    if gain is not None:
        why = f"the last dry vacuum gained {gain:.2g}, at least {DRY_GAIN_ENOUGH}"
        return Method.VACUUM, why, PRACTICE, ()
    return NotDecided(
        "What lies on the surface is not written, no dry gain is known and no method is priced.",
        ("what was found", "gain of a dry vacuum", "prices"),
    )


def _reach(method: Method, way_in: WayIn) -> tuple[Method, tuple[Breach, ...]]:
    """The method as far as a machine gets there: what is done on foot where no truck may go."""
    if way_in.limits is None or method not in BY_TRUCK:
        return method, ()
    first: tuple[Breach, ...] = ()
    for _, sizes in (m for m in way_in.machines if m[0] is method):
        breaches = tuple(size_breaches(sizes, way_in.limits, "the truck"))
        if not breaches:
            return method, ()
        first = first or breaches
    unknown = tuple(size_breaches(_NoSizes(), way_in.limits, "the truck"))
    breaches = first or unknown
    return (ON_FOOT[method], breaches) if breaches else (method, ())


@dataclass(frozen=True)
class _NoSizes:
    """A truck of which nothing is known."""

    axle_kg: float | None = None
    height_m: float | None = None
    width_m: float | None = None
    turning_m: float | None = None
