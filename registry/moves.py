"""States and what may follow, as a table, and the one rule of the way back.

Every move is dated and signed by the caller. A move is undone only by a new line: "back to ...,
because". (House rule, no source.)
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from registry.faults import DomainError


@dataclass(frozen=True)
class MoveRules:
    """The states of one kind of thing and what may follow each.

    thing    what it is called in a refusal: "defect"
    states   code to label
    forward  code to the codes that may follow, the usual ones first; none where it is not named
    refusal  the DomainError that is raised
    """

    thing: str
    states: Mapping[str, str]
    forward: Mapping[str, tuple[str, ...]]
    refusal: type[DomainError]

    def label(self, state: str) -> str:
        """Return the word of a state. Raises `refusal` for a code that is none."""
        if state not in self.states:
            raise self.refusal(f"“{state}” is not a state of a {self.thing}.")
        return self.states[state]

    def next_states(self, state: str) -> tuple[str, ...]:
        """States that may follow; () where only a move back is left."""
        self.label(state)
        return self.forward.get(state, ())

    def refuse_move(
        self, from_state: str, to_state: str, *, is_back: bool, earlier: Sequence[str], why: str
    ) -> None:
        """Raise `refusal`, in words, where the move is not allowed; else answer nothing.

        earlier  codes of the states the thing was in before this one
        why      reason as written; a move back needs one
        """
        start, goal = self.label(from_state), self.label(to_state)
        allowed = self.next_states(from_state)
        if from_state == to_state and (is_back or to_state not in allowed):
            raise self.refusal(f"The {self.thing} is “{start}” already.")
        if is_back:
            self._refuse_back(goal, was_there=to_state in earlier, why=why)
        elif to_state not in allowed:
            listed = ", ".join(f"“{self.states[code]}”" for code in allowed) or "nothing"
            raise self.refusal(
                f"A {self.thing} cannot go from “{start}” to “{goal}”. After “{start}” comes "
                f"{listed}. To undo a move, go back and say why."
            )

    def _refuse_back(self, goal: str, *, was_there: bool, why: str) -> None:
        if not was_there:
            raise self.refusal(f"The {self.thing} was never “{goal}”, so it cannot go back to it.")
        if not why.strip():
            raise self.refusal(f"Going back to “{goal}” needs a reason.")
