"""The states of a work order and what may follow. Every move is dated and signed by the caller.

asked for -> approved -> dated -> done, done in part, turned away or called off; done -> checked
-> accepted or to redo; accepted -> billed -> paid; called off -> dated again or dropped.
(House rule, no source.)

Where that rule leaves an end open: what was turned away goes on as what was called off; what was
done in part is checked as it is, or dated again for the rest; what is to be redone is dated again;
an order that is dated may be given another day or crew.
"""

from registry.moves import MoveRules
from registry.planning.faults import CannotMoveOrder

STATES: dict[str, str] = {
    "asked_for": "asked for",
    "approved": "approved",
    "dated": "dated",
    "done": "done",
    "in_part": "done in part",
    "turned_away": "turned away",
    "called_off": "called off",
    "checked": "checked",
    "accepted": "accepted",
    "to_redo": "to redo",
    "billed": "billed",
    "paid": "paid",
    "dropped": "dropped",
}
"""Code to label."""

OPEN = frozenset(
    {"asked_for", "approved", "dated", "in_part", "turned_away", "called_off", "to_redo"}
)
"""States in which sweeping is still to be done, or to be given up."""

TO_SETTLE = frozenset({"done", "checked", "accepted", "billed"})
"""States in which the sweeping is over and somebody still has to check, bill or pay."""

TO_DATE = frozenset({"approved", "dated", "in_part", "turned_away", "called_off", "to_redo"})
"""States in which an order may be given a day and a crew."""

OUTCOMES = ("done", "in_part", "turned_away", "called_off")
"""What may become of an order on its day."""

_FORWARD: dict[str, tuple[str, ...]] = {
    "asked_for": ("approved",),
    "approved": ("dated",),
    "dated": (*OUTCOMES, "dated"),
    "done": ("checked",),
    "in_part": ("checked", "dated"),
    "checked": ("accepted", "to_redo"),
    "accepted": ("billed",),
    "billed": ("paid",),
    "to_redo": ("dated",),
    "turned_away": ("dated", "dropped"),
    "called_off": ("dated", "dropped"),
}

RULES = MoveRules("work order", STATES, _FORWARD, CannotMoveOrder)
next_states = RULES.next_states
refuse_move = RULES.refuse_move
