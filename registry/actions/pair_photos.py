"""Pair a photo with an earlier one from the same stand: then and now."""

from django.db import transaction

from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.frozen import frozen_under, why_frozen
from registry.models import Organisation, Pavement, Person, Photo


class CannotBePaired(DomainError):
    """Of different pavements, one void, the older said to be the newer, or frozen by a dispute."""


@transaction.atomic
def pair_photos(
    now: Photo, *, then: Photo | None, by: Person | None, organisation: Organisation | None
) -> Photo:
    """Say that `now` was taken from the stand of `then`; None takes the pair back.

    Undated photos may be paired: a person knows which is which, and the page says "undated".
    """
    row = Photo.objects.select_for_update(of=("self",)).get(pk=now.pk)
    if row.is_void:
        raise CannotBePaired("This photo is void.")
    if then is not None:
        _check(row, then)
    old, row.pair_of = row.pair_of, then
    if old == then:
        raise CannotBePaired("Nothing was changed.")
    if old is not None and (dispute := frozen_under(row)) is not None:
        raise CannotBePaired(why_frozen(dispute))
    row.save(update_fields=["pair_of"])
    changes = {"pair_of": [str(old or ""), str(then or "")]}
    verb = "paired" if then else "pair taken back"
    write_line(row, verb, by=by, organisation=organisation, changes=changes)
    return row


def _check(now: Photo, then: Photo) -> None:
    if then.pk == now.pk:
        raise CannotBePaired("A photo is no pair with itself.")
    if then.is_void or then.pavement_id not in _pavements(now.pavement):
        raise CannotBePaired("Pair it with a photo of this pavement that is not void.")
    if then.taken_on and now.taken_on and then.taken_on > now.taken_on:
        raise CannotBePaired(
            f"{then} was taken on {then.taken_on}, after this one. Pair them from its page."
        )
    earlier: Photo | None = then
    while earlier is not None:
        if earlier.pk == now.pk:
            raise CannotBePaired(f"{then} is itself paired with this one as the earlier.")
        earlier = earlier.pair_of


def _pavements(pavement: Pavement | None) -> set[int]:
    """Return the ids of a pavement and of those it was split from: a stand outlives a split."""
    found: set[int] = set()
    while pavement is not None:
        found.add(pavement.pk)
        pavement = pavement.parent
    return found
