"""Several runs at one spot on one local day: what is averaged and what is only kept (N2).

The standard averages two runs of one day, by their rates and not by their times, and allows no
third (ASTM C1701/C1701M, from memory). A bound is never averaged.
"""

from dataclasses import dataclass

from registry.measuring.reading import NoRate, Rate
from registry.units import System

RUNS_A_DAY = 2


@dataclass(frozen=True)
class Run:
    """One run: its number on that day, from 1, its result, and whether it may be used.

    usable  False where a doubt or a person keeps it out (use "looked_at" or "void")
    """

    number: int
    result: Rate | NoRate
    usable: bool = True


@dataclass(frozen=True)
class LeftOut:
    run: Run
    code: str
    reason: str


@dataclass(frozen=True)
class DayResult:
    """What the day gives for the spot.

    mm_h, sign  the one result of the day, mm/h; mm_h is None if no single result may be given
    shown       the usable runs, at most two, each with its own value and sign
    left_out    the runs kept but not used, with the reason
    system      of the result if all its runs share one, else None
    reason      why there is no single result, "" if there is
    """

    mm_h: float | None
    sign: str
    shown: tuple[Rate, ...]
    left_out: tuple[LeftOut, ...]
    system: System | None
    reason: str = ""

    @property
    def observation(self) -> Rate | None:
        """What a trend takes from the day if there is no mean: the first run, bound or not."""
        return self.shown[0] if self.shown else None


def day_result(runs: tuple[Run, ...]) -> DayResult:
    """One result from the runs at one spot on one local day, in any order.

    Two numbers: the mean of their rates. One number: that. A bound among two: both are shown and
    not averaged. A third run and later ones are looked at only.
    """
    shown: list[Rate] = []
    left_out: list[LeftOut] = []
    for run in sorted(runs, key=lambda run: run.number):
        if run.number > RUNS_A_DAY or len(shown) == RUNS_A_DAY:
            left_out.append(LeftOut(run, "third_run", "The standard allows two runs a day."))
        elif isinstance(run.result, NoRate):
            left_out.append(LeftOut(run, run.result.code, run.result.reason))
        elif not run.usable:
            left_out.append(LeftOut(run, "looked_at", "Kept, but looked at only."))
        else:
            shown.append(run.result)
    systems = {rate.system for rate in shown}
    system = systems.pop() if len(systems) == 1 else None
    given = tuple(shown), tuple(left_out), system
    if not shown:
        return DayResult(None, "", *given, reason="No run of that day gives a rate.")
    if len(shown) == 1:
        return DayResult(shown[0].mm_h, shown[0].sign, *given)
    if any(rate.is_bound for rate in shown):
        return DayResult(None, "", *given, reason="One run is a bound; both are shown.")
    return DayResult(sum(rate.mm_h for rate in shown) / len(shown), "", *given)
