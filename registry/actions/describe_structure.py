"""Describe the structure below a pavement, with its layers."""

from collections.abc import Mapping, Sequence

from django.db import transaction

from registry.actions.add_entry import add_entry
from registry.actions.correct_entry import CannotBeCorrected, correct_entry
from registry.actions.refresh_standing import refresh_after
from registry.actions.write_journal import write_line
from registry.models import Layer, Organisation, Person, Structure
from registry.models.entry import Change


@transaction.atomic
def describe_structure(
    row: Structure,
    *,
    layers: Sequence[Layer] = (),
    by: Person | None,
    organisation: Organisation | None,
) -> Structure:
    """Store a structure and its layers, the top one first."""
    add_entry(row, by=by, organisation=organisation)
    _store(row, layers)
    return row


@transaction.atomic
def correct_structure(
    row: Structure,
    *,
    layers: Sequence[Layer],
    changes: Mapping[str, Change],
    why: str,
    by: Person | None,
    organisation: Organisation | None,
) -> Structure:
    """Correct a structure; its layers, old and new, are written out in the line.

    Raises CannotBeCorrected where nothing differs or no reason is given.
    """
    if not why.strip():
        raise CannotBeCorrected("Say why the entry is corrected.")
    locked = Structure.objects.select_for_update().get(pk=row.pk)
    if locked.is_void:
        raise CannotBeCorrected("This entry is void; a void entry is not corrected.")
    before = [layer_words(layer) for layer in locked.layers.order_by("pk")]
    after = [layer_words(layer) for layer in layers]
    if changes or before == after:
        correct_entry(locked, changes=changes, why=why, by=by, organisation=organisation)
    if before != after:
        locked.layers.all().delete()
        _store(locked, layers)
        lines = {"layers": ["; ".join(before), "; ".join(after)]}
        write_line(locked, "corrected", by=by, organisation=organisation, why=why, changes=lines)
        refresh_after(locked)
    return locked


def _store(row: Structure, layers: Sequence[Layer]) -> None:
    for layer in layers:
        layer.structure = row
        layer.full_clean(exclude=["structure"])
        layer.save(force_insert=True)


def layer_words(layer: Layer) -> str:
    """Return a layer as one text for the journal, in mm."""
    depth = "depth not known" if layer.depth_mm is None else f"{layer.depth_mm:.6g} mm"
    voids = "measured" if layer.void_ratio_is_measured else "assumed"
    parts = (
        layer.get_kind_display(),
        depth,
        layer.stone_size,
        f"voids {layer.void_ratio:g} {voids}",
    )
    return ", ".join(p for p in parts if p)
