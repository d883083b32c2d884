"""States of a warranty and of a callback, and what may come next.

warranty  not started -> running -> ended; running -> transferred or part renewed, and running on;
          running -> ended early by agreement
callback  received -> acknowledged -> visit set -> visited -> finding issued -> answered (accepted,
          accepted in part, declined, goodwill, more evidence asked) -> agreed, disputed or silent;
          disputed -> evaluator named -> reported -> settlement signed by one side -> settled,
          signed by the other too; agreed, settled or ruled -> remedy dated -> remedy done ->
          closed; received -> out of time, not ours or withdrawn; any -> in court, and frozen;
          in court -> ruled, or a settlement of both sides

Every move is dated and signed by the caller; the way back is a new line with a reason. (House
rule, no source.) Where that rule leaves an end open: after more evidence was asked for comes
another visit or another finding; a silent owner may still agree or dispute; the parties may settle
at any time of a dispute, before a court and after its ruling; what is agreed, settled or ruled
without a remedy is closed. A way back out of a dispute undoes the state and not the freeze, and one
side alone writes a ruling down: only a settlement that both sides signed ends what a dispute froze.
"""

from collections.abc import Iterable

from registry.moves import MoveRules
from registry.placing.faults import CannotMovePlacing

_FROM_RUNNING = ("transferred", "part_renewed", "ended", "ended_early")
WARRANTY = MoveRules(
    "warranty",
    {
        "not_started": "not started",
        "running": "running",
        "transferred": "running, transferred",
        "part_renewed": "running, part renewed",
        "ended": "ended",
        "ended_early": "ended early by agreement",
    },
    {
        "not_started": ("running",),
        **dict.fromkeys(("running", "transferred", "part_renewed"), _FROM_RUNNING),
    },
    CannotMovePlacing,
)
RUNNING = frozenset({"running", "transferred", "part_renewed"})
"""States of a warranty in which it covers."""

ANSWERS = ("accepted", "accepted_in_part", "declined", "goodwill", "evidence_asked")
"""What a contractor may answer."""
ENDED = frozenset({"out_of_time", "not_ours", "withdrawn", "closed"})
"""States of a callback in which nobody has to act any more."""
OFFERS_SETTLEMENT = "settlement_offered"
"""One side signed a settlement; it ends nothing until the other side signs it."""
IN_DISPUTE = frozenset({"disputed", "evaluator_named", "reported", OFFERS_SETTLEMENT, "in_court"})
"""States in which the record under the callback is frozen: new lines yes, corrections no."""
ENDS_DISPUTE = "settled"
"""The one move on that ends a dispute: the second signature. A way back to it ends nothing."""

_STATES = {
    "received": "received",
    "acknowledged": "acknowledged",
    "visit_set": "visit set",
    "visited": "visited",
    "finding_issued": "finding issued",
    "accepted": "accepted",
    "accepted_in_part": "accepted in part",
    "declined": "declined",
    "goodwill": "goodwill",
    "evidence_asked": "more evidence asked",
    "agreed": "agreed",
    "disputed": "disputed",
    "silent": "silent",
    "evaluator_named": "evaluator named",
    "reported": "reported",
    OFFERS_SETTLEMENT: "settlement signed by one side",
    "settled": "settled",
    "remedy_dated": "remedy dated",
    "remedy_done": "remedy done",
    "closed": "closed",
    "out_of_time": "out of time",
    "not_ours": "not ours",
    "withdrawn": "withdrawn",
    "in_court": "in court",
    "ruled": "ruled by a court",
}
_REPLIES = ("agreed", "disputed", "silent")
_FORWARD: dict[str, tuple[str, ...]] = {
    "received": ("acknowledged", "out_of_time", "not_ours", "withdrawn"),
    "acknowledged": ("visit_set",),
    "visit_set": ("visited",),
    "visited": ("finding_issued",),
    "finding_issued": ANSWERS,
    **dict.fromkeys(ANSWERS, _REPLIES),
    "evidence_asked": (*_REPLIES, "visit_set", "finding_issued"),
    "silent": ("agreed", "disputed", "closed"),
    "disputed": ("evaluator_named", OFFERS_SETTLEMENT),
    "evaluator_named": ("reported", OFFERS_SETTLEMENT),
    "reported": (OFFERS_SETTLEMENT,),
    OFFERS_SETTLEMENT: ("settled",),
    "in_court": (OFFERS_SETTLEMENT, "ruled"),
    "ruled": ("remedy_dated", "closed", OFFERS_SETTLEMENT),
    "agreed": ("remedy_dated", "closed"),
    "settled": ("remedy_dated", "closed"),
    "remedy_dated": ("remedy_done",),
    "remedy_done": ("closed",),
}

CALLBACK = MoveRules(
    "callback",
    _STATES,
    {
        state: (*_FORWARD.get(state, ()), *(() if state == "in_court" else ("in_court",)))
        for state in _STATES
    },
    CannotMovePlacing,
)


def is_frozen(state: str, moves: Iterable[tuple[str, bool]]) -> bool:
    """Say whether the record under a callback is frozen.

    It is while the state is one of dispute, and after a way back out of it or a ruling until a
    settlement that both sides signed.

    state  the state now
    moves  (state led to, is a way back) of every move, oldest first
    """
    frozen = False
    for to_state, is_back in moves:
        if to_state in IN_DISPUTE:
            frozen = True
        elif to_state == ENDS_DISPUTE and not is_back:
            frozen = False
    return frozen or state in IN_DISPUTE


def settlement_is_signed(state: str, moves: Iterable[tuple[str, bool]]) -> bool:
    """Say whether the lines of a settlement are signed by a side, and so closed.

    They are until the dispute is taken up again. A court changes nothing of what both signed.

    state  the state now
    moves  (state led to, is a way back) of every move, oldest first
    """
    signed = False
    for to_state, is_back in moves:
        if to_state == ENDS_DISPUTE and not is_back:
            signed = True
        elif to_state in IN_DISPUTE - {"in_court"}:
            signed = False
    return signed or state == OFFERS_SETTLEMENT


def undoes_dispute(from_state: str, to_state: str) -> bool:
    """Say whether a move leaves a dispute by the way back, not by what may follow it."""
    if from_state not in IN_DISPUTE or to_state in IN_DISPUTE:
        return False
    return to_state not in CALLBACK.next_states(from_state)
