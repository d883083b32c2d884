"""What the loads of a section say of its raveling: follows load limits, worst late in the day.

Said of the whole section for one look (or the change between two), then shown at each panel. A
pattern is evidence, no cause.
"""

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from registry.placing.dated_looks import BEGUN, Answer
from registry.placing.faults import NotGiven
from registry.placing.load_shares import LoadShares
from registry.placing.tau import tau_b

AGREES = 0.9  # of the raveled panels, and of the panels of raveled loads (house rule, no source)
FEWEST_IN_A_DAY = 4
LATE_TAU = 0.5


@dataclass(frozen=True)
class DayLoad:
    """One load of a placing day. drying: its evaporation lies over the limit; None: not known."""

    load: str
    discharge_at: datetime
    raveled: float | None
    is_drying: bool | None


def follows_loads(
    shares: LoadShares,
    by_panel: Mapping[str, float],
    by_load: Mapping[str, float | NotGiven],
    begun: float = BEGUN,
) -> Answer:
    """Whether the raveled panels are those of the raveled loads, and the others are not."""
    loads = {load for load, share in by_load.items() if _reaches(share, begun)}
    known = [p for p in shares.areas_m2 if p in by_panel and shares.of_panel(p)]
    of_loads = {p for p in known if _mostly(shares, p) in loads}
    raveled = {p for p in known if by_panel[p] >= begun}
    if not raveled:
        return Answer(None, "No panel reached the share from which raveling counts.")
    if len(known) == len(raveled):
        return Answer(None, "Every panel raveled, so nothing can be told apart.")
    both = len(raveled & of_loads)
    words = (
        f"{both} of {len(raveled)} raveled panels lie mostly in the {len(loads)} raveled loads, "
        f"which have {len(of_loads)} panels."
    )
    agrees = both >= AGREES * len(raveled) and both >= AGREES * len(of_loads)
    return Answer(bool(loads) and agrees, words)


def worst_late(loads: Sequence[DayLoad]) -> Answer:
    """Whether raveling rose through one day, and its worst load was placed in drying weather."""
    known = [
        (x, x.raveled) for x in sorted(loads, key=lambda x: x.discharge_at) if x.raveled is not None
    ]
    if len(known) < FEWEST_IN_A_DAY:
        return Answer(None, f"Only {len(known)} loads of that day have a raveled share.")
    shares = [raveled for _, raveled in known]
    tau = tau_b(range(len(known)), [round(share, 3) for share in shares])
    if tau is None:
        return Answer(False, "All loads of that day raveled alike.")
    worst = known[max(range(len(shares)), key=shares.__getitem__)][0]
    late = tau >= LATE_TAU and worst in [x for x, _ in known[-math.ceil(len(known) / 3) :]]
    words = f"Order of the day and raveling: tau {tau:.2f} over {len(known)} loads"
    if not late:
        return Answer(False, f"{words}.")
    if worst.is_drying is None:
        return Answer(None, f"{words}, but the evaporation at load {worst.load} is not known.")
    over = "over" if worst.is_drying else "within"
    return Answer(
        worst.is_drying, f"{words}; evaporation at load {worst.load} was {over} the limit."
    )


def sheet_gap(
    panel: str,
    broken: Mapping[str, str],
    *,
    log_is_whole: bool | None,
    missing: Collection[str] = (),
) -> Answer:
    """Whether the sheet log shows a gap at this panel.

    broken        panel to the words of its break
    log_is_whole  False where checks are missing, None where there is no log
    missing       days without a check
    """
    if panel in broken:
        return Answer(True, broken[panel])
    if log_is_whole is None:
        return Answer(None, "There is no log of the cover.")
    if not log_is_whole:
        days = f": {', '.join(missing)}" if missing else ""
        return Answer(None, f"No gap is logged here, but checks are missing{days}.")
    return Answer(False, "The log is whole and shows no gap here.")


def _mostly(shares: LoadShares, panel: str) -> str:
    return max(shares.of_panel(panel), key=lambda piece: piece.area_m2).load


def _reaches(share: float | NotGiven, begun: float) -> bool:
    return not isinstance(share, NotGiven) and share >= begun
