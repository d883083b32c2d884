"""Whether a state can be reached from another where the steps between are not known.

A file tells the state of a defect on the days it was looked at. What it passed through between two
of them is not in it, and is never made up: it only has to be possible by the table of moves.
"""

from registry.defects.moves import next_states


def reaches(start: str, goal: str) -> bool:
    """Say whether moves forward, one or several, lead from one state to another.

    start, goal  codes of two states. Raises CannotMove where one of them is none.
    """
    next_states(goal)
    met, open_ends = set(), list(next_states(start))
    while open_ends:
        state = open_ends.pop()
        if state not in met:
            met.add(state)
            open_ends += next_states(state)
    return goal in met
