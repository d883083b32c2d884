"""Moves of a state: a warranty's, a callback's, a repair's, a load's, a lot's, a hand-over's."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from registry.actions.move_signed import RULES, Movable, move_signed
from registry.forms.signed_move import SignedMoveForm
from registry.models import Organisation
from registry.views.entry import try_action
from registry.views.pavement import local_today


def move_page(
    request: HttpRequest,
    row: Movable,
    *,
    pavement: Any,
    side: Callable[[str], Organisation | None],
    back: str,
) -> HttpResponse:
    """Show and take a move. `side` gives the organisation that may move to a state, or None."""
    form = _form(request, row, pavement, side)
    if request.method == "POST" and form.is_valid():
        given = form.given
        own = side(given["to_state"])
        if try_action(form, move_signed, row, by=request.user, organisation=own, **given):
            word = RULES[type(row)].label(row.state)
            messages.success(request, f"Stored: {row} is now {word}.")
            return redirect(back)
    word = RULES[type(row)].label(row.state)
    context = {"form": form, "row": row, "pavement": pavement, "back": back, "word": word}
    return render(request, "signed_move/move.html", context)


def _form(
    request: HttpRequest, row: Movable, pavement: Any, side: Callable[[str], Organisation | None]
) -> SignedMoveForm:
    rules = RULES[type(row)]
    following = [state for state in rules.next_states(row.state) if side(state) is not None]
    pairs = row.moves.values_list("from_state", "to_state")
    earlier = [state for pair in pairs for state in pair if state and state != row.state]
    who = request.user.name or str(request.user)
    return SignedMoveForm(
        request.POST or None,
        words=rules.states,
        following=following,
        earlier=[state for state in earlier if side(state) is not None],
        initial={
            "on": local_today(pavement),
            "signed_by": who,
            "to": following[0] if len(following) == 1 else "",
        },
    )
