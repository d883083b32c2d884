"""Move a pavement from one state to the next: dated, signed, with its reason."""

from datetime import date

from django.db import transaction

from registry.actions.refresh_standing import refresh_after
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.models import JournalLine, Organisation, Pavement, PavementState, Person

S = PavementState
MOVES: dict[str, tuple[str, ...]] = {
    S.PLANNED: (S.PLACED,),
    S.PLACED: (S.CURING,),
    S.CURING: (S.IN_SERVICE,),
    S.IN_SERVICE: (S.CLOSED_IN_PART, S.CLOSED, S.REMOVED),
    S.CLOSED_IN_PART: (S.IN_SERVICE,),
    S.CLOSED: (S.IN_SERVICE,),
    S.REMOVED: (),
    S.SPLIT: (),
}
"""Which state may follow which; common practice, no source. Replaced panels change none of it."""

MOVED, BACK = "moved", "moved back"


class CannotMove(DomainError):
    """The move is not one of those allowed, or its day lies before the last one's."""


def moves_from(pavement: Pavement) -> list[tuple[str, str]]:
    """Return (state, words) of every move that is open now, the way back among them, last."""
    words = dict(PavementState.choices)
    found = [(to, str(words[to])) for to in MOVES[pavement.state]]
    back = _state_before(pavement)
    if back and back not in MOVES[pavement.state]:
        found.append((back, f"back to {words[back]}: the last move was wrong"))
    return found


@transaction.atomic
def move_pavement(
    pavement: Pavement,
    *,
    to: str,
    on: date,
    why: str,
    today: date,
    by: Person,
    organisation: Organisation,
) -> Pavement:
    """Store the new state and the line of the move. Of two at once the second is told.

    A move is undone only by a new line "back to ..., because". `today` is the date at the site.
    Raises CannotMove.
    """
    if not why.strip():
        raise CannotMove("Say why the state changes.")
    if on > today:
        raise CannotMove(f"{on.isoformat()} has not come yet; a state is written when it is so.")
    last = _moves(pavement)[-1:]
    if last and on.isoformat() < last[0].changes["since"][1]:
        raise CannotMove(f"The move before was on {last[0].changes['since'][1]}; this one follows.")
    old = pavement.state
    is_back = to == _state_before(pavement) and to not in MOVES[old]
    if to not in MOVES[old] and not is_back:
        raise CannotMove(f"A pavement that is {_word(old)} cannot become {_word(to)}.")
    if not Pavement.objects.filter(pk=pavement.pk, state=old).update(state=to):
        raise CannotMove("Somebody else changed the state meanwhile. Look at it again.")
    pavement.refresh_from_db()
    changes = {"state": [_word(old), _word(to)], "since": ["", on.isoformat()]}
    verb = BACK if is_back else MOVED
    write_line(pavement, verb, by=by, organisation=organisation, why=why, changes=changes)
    refresh_after(pavement)
    return pavement


def _word(state: str) -> str:
    return str(PavementState(state).label)


def _moves(pavement: Pavement) -> list[JournalLine]:
    lines = JournalLine.objects.about(pavement).filter(verb__in=(MOVED, BACK))
    return list(lines.order_by("at", "pk"))


def _state_before(pavement: Pavement) -> str | None:
    """Return the state before the last move that still stands; None where nothing was moved."""
    standing: list[str] = []
    for line in _moves(pavement):
        if line.verb == MOVED:
            standing.append(line.changes["state"][0])
        elif standing:
            standing.pop()
    by_word = {str(label): value for value, label in PavementState.choices}
    return by_word[standing[-1]] if standing else None
