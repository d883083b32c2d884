"""What the six rules by which sweeping is no longer enough take, and what they answer."""

from dataclasses import dataclass
from datetime import date
from enum import IntEnum

from registry.measuring import NoWidth, WidthNeeded
from registry.measuring.months import months_before
from registry.units import Kind, System, show

BACK_MONTHS = 6


class EnoughRule(IntEnum):
    AFTER_THE_BEST = 1
    BACK_BELOW = 2
    SMALL_SHARE = 3
    CORE = 4
    WIDTH = 5
    SINCE_PLACING = 6


@dataclass(frozen=True)
class AfterTest:
    """A test after a restorative cleaning, mm/h and sign; None is not known.

    is_best   the cleaning was by the best method there is for the surface
    """

    cleaned_on: date
    spot: str
    on: date
    mm_h: float
    sign: str = ""
    passes: int | None = None
    is_best: bool | None = None
    dry: bool | None = None


@dataclass(frozen=True)
class Aftermath:
    """A restorative cleaning: the last test by which it was above since, the first below again."""

    cleaned_on: date
    above_on: date | None
    below_on: date | None

    @property
    def is_back_early(self) -> bool | None:
        """Whether it was below again in under 6 months; None where no test tells."""
        if self.below_on and self.cleaned_on > months_before(self.below_on, BACK_MONTHS):
            return True
        if self.above_on and self.cleaned_on <= months_before(self.above_on, BACK_MONTHS):
            return False
        return None


@dataclass(frozen=True)
class Regained:
    """A share of N7 at a spot with as-built known, with its sign."""

    cleaned_on: date
    spot: str
    share: float
    sign: str = ""


@dataclass(frozen=True)
class Core:
    """name, depth of fines (mm, None not measured), whether paste closes the bottom (None nk)."""

    name: str
    fines_mm: float | None
    bottom_closed: bool | None
    taken_on: date | None = None


@dataclass(frozen=True)
class LoadSincePlacing:
    """The lowest acceptance rate of one load, mm/h and sign, and the best gain of any cleaning.

    best_gain  None where what a restorative cleaning did there is not known
    was_above  a later test on it lay at or above the action level: it was not low ever since
    """

    load: str
    mm_h: float
    sign: str = ""
    best_gain: float | None = None
    was_above: bool = False


@dataclass(frozen=True)
class EnoughFacts:
    """action_mm_h   None not known. `width` is N9, None where there is no run-on edge measured.

    no_width, width_missing   why there is no `width`, and what is asked for
    loads_placed   how many loads are known, tested at acceptance or not
    no_loads   which acceptance tests lie on no load that can be told, and why
    system   of the answers' words
    """

    action_mm_h: float | None
    after_tests: tuple[AfterTest, ...] = ()
    aftermaths: tuple[Aftermath, ...] = ()
    regained: tuple[Regained, ...] = ()
    cores: tuple[Core, ...] = ()
    width: WidthNeeded | NoWidth | None = None
    no_width: str = ""
    width_missing: str = ""
    loads: tuple[LoadSincePlacing, ...] = ()
    loads_placed: int = 0
    no_loads: str = ""
    system: System = System.SI

    def rate(self, mm_h: float, sign: str = "") -> str:
        return show(mm_h, Kind.RATE, self.system, sign=sign)

    def level(self, mm_h: float) -> str:
        return show(mm_h, Kind.RATE, self.system, digits=1)

    def depth(self, mm: float) -> str:
        return show(mm, Kind.SMALL_LENGTH, self.system)

    def length(self, metres: float, sign: str = "") -> str:
        return show(metres, Kind.LENGTH, self.system, sign=sign)


@dataclass(frozen=True)
class RuleAnswer:
    """holds: True sweeping is no longer enough, False it does not say so, None not decided.

    words    the values that made it, or why it is not decided;  missing  what is asked for
    """

    rule: EnoughRule
    holds: bool | None
    words: str
    missing: str = ""


@dataclass(frozen=True)
class Enough:
    """The answers of all six rules, in their order."""

    answers: tuple[RuleAnswer, ...]

    @property
    def holding(self) -> tuple[RuleAnswer, ...]:
        return tuple(a for a in self.answers if a.holds)

    @property
    def open(self) -> tuple[RuleAnswer, ...]:
        return tuple(a for a in self.answers if a.holds is None)

    @property
    def no_longer(self) -> bool | None:
        """True: no longer enough; False only where all six rules could be judged; else None."""
        if self.holding:
            return True
        return None if self.open else False
