"""Did it work: what is suggested of an order that was done, its debris and what function cost."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from registry.gathering.gains import GainAtSpot
from registry.gathering.order_rows import area_of_panels_m2, area_to_do_m2
from registry.measuring.cleaning_gain import Gain
from registry.models import CleanedPanel, Cleaning, WorkOrder
from registry.planning.checked_order import DoneOrder, Judgement, SpotGain, judge_order
from registry.planning.cost_of_function import CostOfFunction, Part, cost_of_function
from registry.planning.debris import Debris, DebrisOnArea, debris_on_area
from registry.planning.methods import Method
from registry.planning.words import NotDecided

DRY = {"yes": True, "no": False}


@dataclass(frozen=True)
class DoneEvent:
    """One event of an order: what became of the day, and of a cleaning what it was worth.

    judgement, debris, function  None of what was turned away or called off
    is_price_agreed  the cost is the price agreed, since none is written with the cleaning
    """

    cleaning: Cleaning
    gains: tuple[GainAtSpot, ...] = ()
    judgement: Judgement | None = None
    debris: DebrisOnArea | NotDecided | None = None
    function: CostOfFunction | None = None
    area_m2: float | None = None
    is_price_agreed: bool = False


def done_event(
    order: WorkOrder,
    cleaning: Cleaning,
    gains: tuple[GainAtSpot, ...],
    *,
    parts: Sequence[CleanedPanel],
    action_mm_h: float | None,
    is_only: bool,
) -> DoneEvent:
    """Work out what one event of an order is worth.

    parts     the panels that the cleaning covered or missed
    is_only   no other cleaning of the order: the price agreed is its cost where none is written
    """
    if not cleaning.is_cleaning:
        return DoneEvent(cleaning)
    area = cleaning_area_m2(order, cleaning, parts)
    agreed = cleaning.cost is None and is_only and order.price_basis != "hour"
    price = order.price_agreed if agreed else cleaning.cost
    return DoneEvent(
        cleaning,
        gains,
        judge_order(_done_order(order, cleaning, parts, gains, action_mm_h)),
        debris_on_area(_debris(cleaning, area)),
        cost_of_function(
            None if price is None else float(price), area, _parts(area, gains), action_mm_h
        ),
        area,
        agreed and price is not None,
    )


def cleaning_area_m2(
    order: WorkOrder, cleaning: Cleaning, parts: Iterable[CleanedPanel]
) -> float | None:
    """Return the area a cleaning covered: as written, else of its panels, else of its order.

    Done in part without a row named, nobody knows.
    """
    if cleaning.area_m2 is not None:
        return cleaning.area_m2
    covered = [part.panel for part in parts if not part.is_missed]
    if covered:
        return area_of_panels_m2(covered)
    return area_to_do_m2(order) if cleaning.state == "done" else None


def _done_order(
    order: WorkOrder,
    cleaning: Cleaning,
    parts: Iterable[CleanedPanel],
    gains: tuple[GainAtSpot, ...],
    action_mm_h: float | None,
) -> DoneOrder:
    missed = tuple((part.panel.name, part.why) for part in parts if part.is_missed)
    if not missed and cleaning.state == "in_part":
        missed = (("rows not named", cleaning.missed_why),)
    return DoneOrder(
        method=Method(cleaning.method),
        passes_asked=order.passes,
        passes_done=cleaning.passes,
        rows_missed=missed,
        must_be_dry=DRY.get(order.must_be_dry),
        surface=cleaning.surface,
        debris_look=cleaning.debris_look,
        damage=cleaning.damage,
        spots=tuple(_spot(found) for found in gains),
        action_mm_h=action_mm_h,
    )


def _spot(found: GainAtSpot) -> SpotGain:
    after = found.after.values[0] if found.after and found.after.values else (None, "")
    return SpotGain(str(found.spot), found.result, after[0], after[1])


def _debris(cleaning: Cleaning, area_m2: float | None) -> Debris:
    return Debris(
        area_m2,
        cleaning.debris_m3,
        cleaning.debris_kg,
        cleaning.debris_wet,
        cleaning.debris_is_guessed,
    )


def _parts(area_m2: float | None, gains: Iterable[GainAtSpot]) -> tuple[Part, ...]:
    """Return the area done as one part, by its lowest spot before and after: the worst decides.

    How much of the area a spot stands for is not on record, so it is not divided among them.
    """
    tested = [g for g in gains if isinstance(g.result, Gain) and g.before and g.after]
    if area_m2 is None or not tested:
        return ()
    before = min(g.before.values[0] for g in tested if g.before)
    after = min(g.after.values[0] for g in tested if g.after)
    return (Part("the area done", area_m2, before[0], after[0], before[1], after[1]),)
