"""Ways of grading a raveled share: what each is called, which is surer, which look is compared.

One rule for page, paper and the record of a dossier, so that all three compare the same look.
"""

from collections.abc import Sequence
from datetime import date

from registry.placing.pattern import FEWEST_LOADS

TYPED = {"tape": "outline by tape", "photo": "outline on photo", "eye": "by eye"}
OF_DEFECTS = {
    "plan_outline": "defects’ outlines on the plan",
    "photo_outline": "defects’ outlines on photos",
    "panel_area": "defects’ areas written for a panel",
}
WORDS = TYPED | OF_DEFECTS
SURER = ("tape", "plan_outline", "photo_outline", "photo", "panel_area", "eye")
"""Of two ways of one day over as many panels the one further ahead here is used. House rule."""


def order_of(on: date, panels: int, way: str) -> tuple[date, int, int]:
    """Oldest day first; of one day the look at the most panels, of two alike the surer."""
    return on, -panels, SURER.index(way) if way in SURER else len(SURER)


def compared_of(loads: Sequence[int]) -> int | None:
    """Say which look is compared; loads of each look, in their order, that have a raveled share.

    The first that gives a number to enough loads for a pattern, else the one that does for most:
    later ones have winters in them. None without a look.
    """
    if not loads:
        return None
    enough = [nth for nth, count in enumerate(loads) if count >= FEWEST_LOADS]
    return enough[0] if enough else loads.index(max(loads))
