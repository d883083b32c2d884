"""What a condition word rests on. None always means not known."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from registry.measuring.reading import Stratum
from registry.measuring.width_seen import NO_STRIP, WidthSeen
from registry.measuring.word_limits import USUAL_LIMITS, WordLimits
from registry.units import System


class Word(StrEnum):
    WORKING = "working"
    WATCH = "watch"
    CLEAN = "clean"
    RESTORE = "restore"
    NOT_WORKING = "not_working"
    NOT_DECIDED = "not_decided"


# From worst to best; a pavement takes the word of its worst stratum.
# "not decided" stands above "watch" and below "clean": a stratum nobody can decide may be below
# the action level, so a pavement that has one must not read "watch" or "working", which both say
# that every place is above it. But a stratum known to be below calls for work whatever the
# undecided one turns out to be, and must not be hidden behind it.
WORST_FIRST = (
    Word.NOT_WORKING,
    Word.RESTORE,
    Word.CLEAN,
    Word.NOT_DECIDED,
    Word.WATCH,
    Word.WORKING,
)


@dataclass(frozen=True)
class SpotResult:
    """One result, mm/h with its sign.

    dry_shown   False where nobody wrote when the last rain ended: it counts towards "working"
                only if far above the action level
    is_alarm    not usable itself (a quick pour, a looked-at run): it may raise an alarm, never
                lower one
    superseded  why it no longer tells of today's surface ("before the wash of 2025-09-15",
                "panel replaced"), "" if it does
    """

    mm_h: float
    spot: str
    on: date
    stratum: Stratum
    sign: str = ""
    dry_shown: bool = True
    is_alarm: bool = False
    superseded: str = ""


@dataclass(frozen=True)
class BestCleaning:
    """What the best available cleaning left behind in a stratum; none once it is replaced.

    mm_h, sign, spot, on  the lowest dry result right after it
    back_below_on         first later result below the action level, None for none
    cleaned_on            its day
    """

    cleaned_on: date
    mm_h: float
    spot: str
    on: date
    sign: str = ""
    back_below_on: date | None = None


@dataclass(frozen=True)
class StratumFacts:
    """One stratum: its results in any order, years left (N6, the least), its best cleaning.

    promises_gain  whether the last restorative cleaning still promises gain; None where none was
                   tried yet, which counts as yes
    """

    stratum: Stratum
    results: tuple[SpotResult, ...] = ()
    years_left: float | None = None
    best_cleaning: BestCleaning | None = None
    promises_gain: bool | None = None


@dataclass(frozen=True)
class PavementFacts:
    """Everything the word of a pavement rests on.

    action_mm_h, action_reason  the action level of `today`, or None and why it is not known
    strata                      each once; a stratum that is there but untested belongs in it
    source_open                 a source of dirt is open
    width                       N9: the reserve, and whether the needed width is still left
    ponding, ponding_words      water stood on it, and who says so
    drawdown_h, drawdown_limit_h    N29 and its limit, hours; drawdown_words where a bound says it
    left_in_small_storm         water left the pavement in a storm below design, left_words who
                                says so; None with words: it left, the storm cannot be compared
    system                      for the numbers in the sentences only
    limits                      thresholds, each with whose it is
    """

    today: date
    action_mm_h: float | None
    strata: tuple[StratumFacts, ...]
    action_reason: str = ""
    source_open: bool | None = None
    width: WidthSeen = NO_STRIP
    ponding: bool | None = None
    ponding_words: str = ""
    drawdown_h: float | None = None
    drawdown_words: str = ""
    drawdown_limit_h: float | None = None
    left_in_small_storm: bool | None = None
    left_words: str = ""
    system: System = System.INCH_POUND
    limits: WordLimits = USUAL_LIMITS


@dataclass(frozen=True)
class ConditionWord:
    """A word and what made it; it is never printed without them.

    mm_h, sign, spot, on  the result that decided, None where none did
    action_mm_h           the action level, None if not known
    rule                  the rule that made it, one sentence
    next_step             what to do
    stratum               None where the whole pavement made it (water, width)
    notes                 what else a reader must know
    """

    word: Word
    rule: str
    next_step: str
    stratum: Stratum | None
    mm_h: float | None
    sign: str
    spot: str
    on: date | None
    action_mm_h: float | None
    notes: tuple[str, ...] = ()
    set_by: str = ""
