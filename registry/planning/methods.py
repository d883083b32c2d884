"""Methods of cleaning, as people name them: what each is, what it may go on, what to mind.

`METHOD_CLASS` maps each to the four that the figures of decline tell apart; "" takes no dirt out of
the surface. Common practice, no source, unless a line names one.
"""

from enum import StrEnum


class Method(StrEnum):
    """One method, by the key it is stored with."""

    BROOM = "broom"
    WALK_BEHIND = "walk_behind_vacuum"
    REGENERATIVE_AIR = "regenerative_air"
    VACUUM = "vacuum"
    WASH_THEN_VACUUM = "wash_then_vacuum"
    WASH_AND_VACUUM = "wash_and_vacuum"
    AIR_AND_VACUUM = "air_and_vacuum"
    BRUSH_AND_VACUUM = "brush_and_vacuum"
    HAND_TOOLS = "hand_tools"
    JOINT_STONE = "joint_stone"
    MOSS_BRUSHED = "moss_brushed"
    DRAIN_FLUSHED = "drain_flushed"


class SurfaceKind(StrEnum):
    """Kinds of surface that differ in how they may be cleaned."""

    PERVIOUS_CONCRETE = "pervious_concrete"
    PERMEABLE_PAVERS = "permeable_pavers"
    POROUS_ASPHALT = "porous_asphalt"
    GRID = "grid"


METHOD_CLASS: dict[Method, str] = {
    Method.BROOM: "broom",
    Method.WALK_BEHIND: "vacuum",
    Method.REGENERATIVE_AIR: "regenerative_air",
    Method.VACUUM: "vacuum",
    Method.WASH_THEN_VACUUM: "wash_and_vacuum",
    Method.WASH_AND_VACUUM: "wash_and_vacuum",
    Method.AIR_AND_VACUUM: "vacuum",
    Method.BRUSH_AND_VACUUM: "vacuum",
    Method.HAND_TOOLS: "broom",
    Method.JOINT_STONE: "wash_and_vacuum",
    Method.MOSS_BRUSHED: "broom",
    Method.DRAIN_FLUSHED: "",
}
WASHES = frozenset({Method.WASH_THEN_VACUUM, Method.WASH_AND_VACUUM})
RESTORATIVE = WASHES | {Method.JOINT_STONE}
# Those that need a dry surface; flushing a drain does not touch it.
DRY = frozenset(Method) - WASHES - {Method.DRAIN_FLUSHED}
# Those that a truck does; the others are carried or walked.
BY_TRUCK = frozenset(
    {Method.REGENERATIVE_AIR, Method.VACUUM, Method.WASH_AND_VACUUM, Method.AIR_AND_VACUUM}
)
ON_FOOT = {
    Method.REGENERATIVE_AIR: Method.WALK_BEHIND,
    Method.VACUUM: Method.WALK_BEHIND,
    Method.AIR_AND_VACUUM: Method.WALK_BEHIND,
    Method.WASH_AND_VACUUM: Method.WASH_THEN_VACUUM,
}
"""What does the same where no truck may go."""

HAS_JOINTS = frozenset({SurfaceKind.PERMEABLE_PAVERS, SurfaceKind.GRID})

NO_WIRE_BROOM = "No wire gutter broom on pervious concrete."
FLAT_ANGLE = "Flat angle; test patch of 3 × 3 ft (0.9 × 0.9 m) first; stop if stone comes."
COLLECT_WATER = "Collect the wash water; none goes to a storm drain."
SPLASH = (
    "Pressure water injures: eye and foot protection, nobody else within reach; dust of dry "
    "concrete holds silica: keep it in the suction. Local rules come first."
)
NO_CLOSING_AGENTS = "No closing agents."
HEAP = "To a heap that is taken away, not into a bed above the pavement."
WRITE_STONE_BACK = "Write the volume of washed stone put back."
KEEP_JOINT_STONE = "Low suction, so that joint stone stays, or refill washed stone after it."


def why_not_on(method: Method, surface: SurfaceKind) -> str:
    """Return why a method may not go on a kind of surface, "" if it may."""
    if method is Method.JOINT_STONE and surface not in HAS_JOINTS:
        return "There is no joint stone on this surface."
    return ""


def cautions_of(method: Method, surface: SurfaceKind) -> tuple[str, ...]:
    """Return what to mind, in the order in which it is printed on the work order."""
    found = []
    if method in WASHES:
        found += [FLAT_ANGLE, COLLECT_WATER, SPLASH]
    elif method is Method.BROOM:
        found += [HEAP]
    elif method is Method.JOINT_STONE:
        found += [WRITE_STONE_BACK, SPLASH]
    elif surface in HAS_JOINTS and METHOD_CLASS[method] in {"vacuum", "regenerative_air"}:
        found += [KEEP_JOINT_STONE]
    if surface is SurfaceKind.PERVIOUS_CONCRETE and method in BY_TRUCK - WASHES:
        found += [NO_WIRE_BROOM]
    return tuple(found)
