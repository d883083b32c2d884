"""The states of a defect and what may follow. Every move is dated and signed by the caller.

noted -> confirmed -> watching, repair ordered or made safe -> repaired -> sound at the next
visit -> closed; noted -> no action; any open one -> not found once -> not found twice, closed;
any open one, and one of no action -> part of another, or removed with its panel.

Where a pavement is split, what is open goes on as a defect of the part it lies on, and the old one
is "carried on at a part": the split alone moves it there, no person. (House rule, no source.)

Watching, repair ordered and made safe are one stage: a defect may go from each to the others.
What comes back after a repair is a new defect, linked "recurs"; the old one keeps its state.
A move is undone only by a new one: "back to ..., because". (House rule, no source.)
"""

from collections.abc import Sequence
from dataclasses import dataclass

from registry.defects.faults import CannotMove
from registry.moves import MoveRules

STATES: dict[str, str] = {
    "noted": "noted",
    "confirmed": "confirmed",
    "watching": "watching",
    "repair_ordered": "repair ordered",
    "made_safe": "made safe",
    "repaired": "repaired",
    "sound": "sound at next visit",
    "closed": "closed",
    "no_action": "no action",
    "not_found_once": "not found (once)",
    "not_found_closed": "not found twice, closed",
    "part_of": "part of another defect",
    "removed": "removed with panel",
    "carried_on": "carried on at a part",
}
"""Code to label."""

OPEN = frozenset(
    {
        "noted",
        "confirmed",
        "watching",
        "repair_ordered",
        "made_safe",
        "repaired",
        "sound",
        "not_found_once",
    }
)
"""States in which somebody still has to look or to act."""

_CARE = ("watching", "repair_ordered", "made_safe")
_FORWARD: dict[str, tuple[str, ...]] = {
    "noted": ("confirmed", "no_action"),
    "confirmed": _CARE,
    **{state: (*(other for other in _CARE if other != state), "repaired") for state in _CARE},
    "repaired": ("sound",),
    "sound": ("closed",),
    "not_found_once": ("not_found_closed",),
}
_ENDS = ("part_of", "removed")


def _following(state: str) -> tuple[str, ...]:
    forward = _FORWARD.get(state, ())
    if state in OPEN and state != "not_found_once":
        forward = (*forward, "not_found_once")
    return (*forward, *_ENDS) if state in OPEN or state == "no_action" else ()


RULES = MoveRules("defect", STATES, {state: _following(state) for state in STATES}, CannotMove)
next_states = RULES.next_states
refuse_move = RULES.refuse_move

ANSWERS = ("found", "not_found", "could_not_look")
"""What a visit says of each known defect; none may be left blank."""


@dataclass(frozen=True)
class Answered:
    """What an answer of a visit means for a defect.

    state     code of the state after it; the same as before where nothing changes
    is_back   whether that is a move back, to be written as "back to ..., because"
    suggests  code of a state a person may now choose, "" if none; never set by itself
    words     one sentence to show and to write down with the move
    """

    state: str
    is_back: bool
    suggests: str
    words: str


def after_answer(
    state: str,
    answer: str,
    good_light: bool | None,
    earlier_not_found: Sequence[bool | None],
    earlier: Sequence[str] = (),
) -> Answered:
    """What a visit's answer about one known defect means for its state.

    answer             one of ANSWERS
    good_light         whether the light was good on this visit; None where nobody noted it
    earlier_not_found  the light of each earlier visit that did not find it, since it was last
                       found; None where nobody noted it
    earlier            codes of the states it was in before, oldest first: one that is found
                       again goes back to the last of them

    Not found once in good light it stays open; a second time in good light it is closed as not
    found. Bad or unknown light counts towards neither. Raises CannotMove.
    """
    label = RULES.label(state)
    if answer not in ANSWERS:
        raise CannotMove("Say of each known defect: found, not found, or could not look.")
    if answer == "could_not_look":
        return _stays(state, f"Could not look: it stays “{label}”.")
    if answer == "found":
        return _found(state, earlier)
    return _not_found(state, good_light, earlier_not_found)


def _found(state: str, earlier: Sequence[str]) -> Answered:
    if state == "not_found_once":
        before = [code for code in earlier if code in OPEN and code != "not_found_once"]
        if not before:
            raise CannotMove("It was found again: say which state it goes back to.")
        words = f"Found again: back to “{RULES.label(before[-1])}”, because this visit found it."
        return Answered(before[-1], True, "", words)
    label = STATES[state]
    if state == "noted":
        return _stays(state, "Found: a person may confirm it.", "confirmed")
    if state in {"repaired", "sound", "closed"}:
        return _stays(
            state,
            f"Found, though it is “{label}”: note a new defect there and link it “recurs”, or go "
            "back and say why.",
        )
    if state not in OPEN:
        return _stays(state, f"Found, though it is “{label}”: if that is wrong, go back, say why.")
    return _stays(state, f"Found: it stays “{label}”.")


def _not_found(
    state: str, good_light: bool | None, earlier_not_found: Sequence[bool | None]
) -> Answered:
    label = STATES[state]
    if state not in OPEN:
        return _stays(state, f"Not found: it stays “{label}”.")
    if not good_light:
        light = "in bad light" if good_light is False else "and nobody noted the light"
        return _stays(state, f"Not found {light}: that does not count. It stays “{label}”.")
    if state == "repaired":
        return _stays(state, "Not found after its repair: a person may call it sound.", "sound")
    if state == "sound":
        return _stays(state, "Not found after its repair: a person may close it.", "closed")
    if state != "not_found_once":
        words = "Not found in good light: it stays open. Look again next time."
        return Answered("not_found_once", False, "", words)
    if any(earlier_not_found):
        words = "Not found a second time in good light: closed as not found."
        return Answered("not_found_closed", False, "", words)
    return _stays(state, "Not found in good light for the first time: it stays open.")


def _stays(state: str, words: str, suggests: str = "") -> Answered:
    return Answered(state, False, suggests, words)
