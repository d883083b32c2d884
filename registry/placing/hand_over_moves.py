"""States of a hand-over certificate, and what may come next.

drawn up -> offered -> signed by giver -> signed by taker -> in effect;
offered -> a line contested -> offered again

Every move is dated and signed; the way back is a new line with a reason. (House rule, no source.)
"""

from registry.moves import MoveRules
from registry.placing.faults import CannotMovePlacing

HAND_OVER = MoveRules(
    "hand-over",
    {
        "drawn_up": "drawn up",
        "offered": "offered",
        "contested": "a line contested",
        "giver": "signed by giver",
        "taker": "signed by taker",
        "in_effect": "in effect",
    },
    {
        "drawn_up": ("offered",),
        "offered": ("giver", "contested"),
        "contested": ("offered",),
        "giver": ("taker",),
        "taker": ("in_effect",),
    },
    CannotMovePlacing,
)
