"""The kinds of defect, in the order in which forms and sheets list them.

Each is measured with tape, straightedge, scale card, stiff broom, feeler and a string frame of
100 points (1 m or 3.3 ft square, 10 x 10 crossings). Common practice, no source, but for what
`grading.py` names.
"""

from dataclasses import dataclass

from registry.defects.faults import UnknownKind

SEVERITIES = ("low", "moderate", "high")
"""Mildest first."""


@dataclass(frozen=True)
class Kind:
    """One kind of defect.

    code     short word for stores, forms and sheets
    label    in the trade's words
    unit     of its extent: "m2", "m", "count", or "mm" for the height of a lip
    asks     fields of `Measured` that the form shows for it, the deciding ones first
    highest  the highest severity that may be given
    mark     sign of the drawing key, a value of `drawing.primitives.Symbol`; "other" where the
             key has none
    looks    how to know it
    """

    code: str
    label: str
    unit: str
    asks: tuple[str, ...]
    highest: str
    mark: str
    looks: str


def _kind(
    code: str,
    label: str,
    unit: str,
    asks: str,
    mark: str,
    looks: str,
    highest: str = "high",
) -> Kind:
    return Kind(code, label, unit, tuple(asks.split()), highest, mark, looks)


_TABLE = (
    _kind(
        "raveling", "raveling, area", "m2",
        "frame_points stones_deep stone_at_third_sweep area_m2 swept_kg",
        "raveling", "Stones come out of the surface; loose stone lies about.",
    ),
    _kind(
        "edge_raveling", "raveling along a joint or edge", "m", "width_m depth_m length_m",
        "raveling", "A band beside a joint or edge loses its stones.",
    ),
    _kind(
        "sealed_spot", "sealed spot", "m2", "area_m2 count is_at_run_on_edge",
        "sealed", "Paste has closed the pores since placing; the skin shines.",
    ),
    _kind(
        "clogged", "clogged strip or spot", "m2",
        "water_minutes is_below_action_level area_m2 width_m",
        "clogged", "Dirt fills the pores; water stays after rain.",
    ),
    _kind(
        "crack", "crack", "m", "crack_width_m typical_width_m lip_m ravels_to_m length_m",
        "crack", "A line through the slab.",
    ),
    _kind(
        "corner_break", "corner break", "count", "lip_m moves size_m count",
        "crack", "A crack cuts a corner off the panel.",
    ),
    _kind(
        "lip", "lip at a joint, root lift", "mm", "lip_m length_m",
        "lip", "One side of a joint stands higher than the other.",
    ),
    _kind(
        "settlement", "settlement, dip", "m2", "depth_m holds_water area_m2",
        "dip", "The surface lies low under a straightedge of 10 ft (3 m).",
    ),
    _kind(
        "scaling", "scaling, salt damage", "m2", "stones_deep is_loose depth_m area_m2",
        "other", "The paste skin is gone and stone is bared.",
    ),
    _kind(
        "plow_scrape", "plow scrape", "m", "has_broken_stones depth_m length_m width_m direction",
        "scrape", "Marks in one direction, a blade wide.",
    ),
    _kind(
        "abrasion", "abrasion in a turning path", "m2",
        "frame_points stones_deep stone_at_third_sweep area_m2",
        "other", "Polished or open where wheels turn.",
    ),
    _kind(
        "spall", "spall at a joint or edge", "m", "width_m is_loose length_m depth_m",
        "other", "Pieces have broken off beside a joint or edge.",
    ),
    _kind(
        "stain", "stain, oil, paint, grout, wash-out", "m2", "pours area_m2",
        "stain", "Something was spilled; pour water on it to see whether it still drains.",
    ),
    _kind(
        "discoloration", "discoloration, streaks, lap marks", "m2", "area_m2",
        "stain", "A matter of looks only: photo.", highest="low",
    ),
    _kind(
        "growth", "moss, weeds, roots in the pores", "m2", "panel_share is_slippery area_m2",
        "other", "Something grows in the pores.",
    ),
    _kind(
        "prints", "prints, tire marks, carving", "count", "depth_m count",
        "other", "Pressed in while the concrete was fresh, or cut in later.",
    ),
    _kind(
        "joint_stone_low", "joint stone low (pavers)", "m2", "depth_m moves area_m2",
        "other", "The stone between pavers lies below their edge.",
    ),
    _kind(
        "edge_loss", "edge loss, undermining", "m", "has_void length_m depth_m",
        "other", "A gap under or beside the edge of the slab.",
    ),
    _kind(
        "ponding", "ponding without another sign", "m2", "area_m2 water_minutes depth_m",
        "ponding", "Water stands where nothing else is wrong to see.",
    ),
)  # fmt: skip

KINDS: dict[str, Kind] = {kind.code: kind for kind in _TABLE}


def kind_of(code: str) -> Kind:
    """The kind of that code. Raises UnknownKind."""
    if code not in KINDS:
        raise UnknownKind(f"“{code}” is not a kind of defect. Choose one of the list.")
    return KINDS[code]
