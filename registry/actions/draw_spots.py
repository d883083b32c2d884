"""Draw random spots before going, written down with the seed and every number."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from django.db import transaction
from django.utils import timezone

from registry.actions.add_entry import SET_BY_ACTIONS
from registry.actions.end_spot import end_spot
from registry.actions.write_journal import write_line
from registry.faults import DomainError
from registry.gathering.drawing_ground import DrawingGround, drawing_ground
from registry.gathering.layouts import layout_of
from registry.gathering.placing import row_at
from registry.measuring.reading import Stratum
from registry.measuring.spots import Blocked, DrawnSpot, Rectangle
from registry.measuring.spots import draw_spots as draw
from registry.models import Organisation, Pavement, Person, Spot, SpotDraw
from registry.models.choices import StratumKind
from registry.plan.layout import Layout
from registry.plan.locate import to_place
from registry.plan.writing import rounded, write_place

SPARES = 3
LETTERS = {
    Stratum.RUN_ON_EDGE: "E",
    Stratum.WHEEL_PATH: "T",
    Stratum.FIELD: "S",
    Stratum.LEAF_SIDE: "L",
    Stratum.NEW_PANEL: "N",
    Stratum.OTHER: "X",
}


class CannotDrawSpots(DomainError):
    """Too few spots are asked, or a spare is asked for where none is left."""


@transaction.atomic
def draw_spots(
    pavement: Pavement,
    *,
    seed: int,
    counts: Mapping[str, int],
    in_the_way: Mapping[str, Sequence[float]] | None = None,
    today: date,
    by: Person | None,
    organisation: Organisation | None,
) -> SpotDraw:
    """Draw spots by strata from a seed, and store the draw with all its numbers.

    counts: spots by stratum. in_the_way: reason -> [right, up, width, length] in metres, beside
    joints, drains and wells of the plan. The counted spots become spots of the pavement; spares
    are kept in the draw until one is needed. The same seed and ground give the same draw.
    Raises SpotError, CannotDrawSpots and PlaceError.
    """
    Pavement.objects.select_for_update().get(pk=pavement.pk)
    ground = drawing_ground(pavement, layout_of(pavement), on=today)
    if sum(counts.values()) < ground.required:
        raise CannotDrawSpots(
            f"At least {ground.required} spots are required for this area; "
            f"{sum(counts.values())} are asked."
        )
    asked = {"counts": dict(counts), "in_the_way": dict(in_the_way or {}), "spares": SPARES}
    row = SpotDraw(
        pavement=pavement,
        number=_next_number(pavement),
        drawn_on=today,
        seed=seed,
        required_count=ground.required,
        counted_in=ground.counted_in.value,
        result=_result(pavement, ground, seed, asked, today),
        entered_by=by,
        entered_for=organisation,
        entered_at=timezone.now(),
    )
    row.full_clean(exclude=SET_BY_ACTIONS)
    row.save(force_insert=True)
    for told in row.result["spots"]:
        if not told["spare"]:
            _store(row, told, today)
    write_line(row, "drawn", by=by, organisation=organisation, changes={"seed": ["", str(seed)]})
    return row


@transaction.atomic
def skip_spot(
    spot: Spot, *, on: date, why: str, by: Person | None, organisation: Organisation | None
) -> Spot:
    """Skip a drawn spot that no ring can stand on, and return the next spare of its stratum.

    No moving "a bit to the left". Raises CannotDrawSpots where no spare is left, SpotIsOver.
    """
    if spot.draw is None:
        raise CannotDrawSpots("Only a spot of a draw is skipped; a fixed point ends.")
    end_spot(spot, on=on, why=f"skipped: {why}", by=by, organisation=organisation)
    row = SpotDraw.objects.select_for_update().get(pk=spot.draw.pk)
    taken = set(row.spots.filter(stratum=spot.stratum).values_list("draw_order", flat=True))
    mine = [told for told in row.result["spots"] if told["stratum"] == spot.stratum]
    left = [told for told in mine if told["order"] not in taken]
    if not left:
        raise CannotDrawSpots("No spare of this stratum is left. Draw anew.")
    new = _store(row, min(left, key=lambda told: int(told["order"])), on)
    write_line(new, "taken", by=by, organisation=organisation, why=f"in place of {spot}")
    return new


def _next_number(pavement: Pavement) -> int:
    last = SpotDraw.objects.filter(pavement=pavement).order_by("-number").first()
    return 1 if last is None else last.number + 1


def _result(
    pavement: Pavement, ground: DrawingGround, seed: int, asked: Mapping[str, Any], on: date
) -> dict[str, Any]:
    """Return all that the draw was made from and gave, so that it can be made again."""
    in_the_way = tuple(Blocked(Rectangle(*s), why) for why, s in asked["in_the_way"].items())
    drawn = draw(
        ground.strata,
        seed=seed,
        counts={Stratum(name): count for name, count in asked["counts"].items()},
        spares=asked["spares"],
        blocked=(*ground.blocked, *in_the_way),
        fixed=ground.fixed,
    )
    layout = layout_of(pavement)
    # A list: the numbers depend on the order of the strata, and a database sorts a mapping's keys.
    strata = [
        [plan.stratum.value, [[r.right_m, r.up_m, r.width_m, r.depth_m] for r in plan.rectangles]]
        for plan in ground.strata
    ]
    return {
        **asked,
        "strata": strata,
        "spots": [_told(spot, layout, on) for spot in drawn.spots],
        "skipped": [_told(spot, None, on) for spot in drawn.skipped],
    }


def _told(spot: DrawnSpot, layout: Layout | None, on: date) -> dict[str, Any]:
    place = ""
    if layout is not None:
        found = to_place(spot.right_m, spot.up_m, layout, on)
        place = write_place(rounded(found, layout.system), layout.system)
    return {
        "stratum": spot.stratum.value,
        "order": spot.order,
        "right_m": spot.right_m,
        "up_m": spot.up_m,
        "numbers": list(spot.numbers),
        "spare": spot.spare,
        "on_fixed": spot.on_fixed,
        "skipped": _in_words(spot.skipped),
        "place": place,
    }


def _in_words(reason: str) -> str:
    """Put the word of a stratum in place of its code."""
    for kind in StratumKind:
        reason = reason.replace(f"to {kind.value} ", f"to {kind.label} ")
    return reason


def _store(row: SpotDraw, told: Mapping[str, Any], on: date) -> Spot:
    panel = row_at(row.pavement, told["right_m"], told["up_m"], on=on)
    return Spot.objects.create(
        pavement=row.pavement,
        panel=panel,
        name=f"draw {row.number} {LETTERS[Stratum(told['stratum'])]}{told['order']}",
        is_fixed=False,
        stratum=told["stratum"],
        place=told["place"],
        right_m=told["right_m"],
        up_m=told["up_m"],
        concrete_placed_on=panel.placed_on if panel else None,
        draw=row,
        draw_order=told["order"],
        entered_by=row.entered_by,
        entered_for=row.entered_for,
    )
