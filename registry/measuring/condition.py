"""The condition word: a rule on the worst place, never a score and never an average.

I_low is the lowest usable result of the last 24 months; I_act the action level. The numbers here
are the usual values: what is set otherwise comes in `PavementFacts.limits`.

working      I_low >= 2 I_act, no ponding, drawdown in time
watch        I_act <= I_low < 2 I_act; or years left under 1.5; or a source of dirt open; or
             reserve under 40 %; or ponding (the table of words names it only as no "working")
clean        any usable value or bound below I_act, and cleaning still promises gain
restore      the run-on strip is below I_act right after the best cleaning, or back below within
             6 months, the field beyond above I_act and the width needed still there
not working  the field below I_act after the best method; or width needed over width left; or
             drawdown over the limit; or water left the pavement in a storm below design
not decided  no usable result in 24 months, or only bounds that straddle I_act, or no criteria

This record's own rule, no published source; the limits belong to a permit, contract or house rule.
"""

from dataclasses import replace

from registry.faults import DomainError
from registry.measuring.certainty import is_below
from registry.measuring.condition_facts import (
    WORST_FIRST,
    BestCleaning,
    ConditionWord,
    PavementFacts,
    SpotResult,
    StratumFacts,
    Word,
)
from registry.measuring.months import months_before
from registry.measuring.reading import Stratum
from registry.measuring.word_limits import USUAL_LIMITS
from registry.units import Kind, show

USABLE_MONTHS = int(USUAL_LIMITS.look_back_months.value)
HIGH_ABOVE = 2.0  # of the level for "working", where dry is not shown


class WordError(DomainError):
    """A condition word may be set worse with a reason, never better."""


def condition_of_pavement(facts: PavementFacts) -> ConditionWord:
    """The worst word over the strata and over what the water did. Never an average."""
    words = [condition_of_stratum(stratum, facts) for stratum in facts.strata]
    words += _words_of_water(facts)
    if not facts.strata:
        words.append(_word(facts, Word.NOT_DECIDED, "No stratum is written down.", "Test."))
    worst = min(words, key=_badness)
    undecided = [
        f"{w.stratum.words} is not decided"
        for w in words
        if w.word is Word.NOT_DECIDED and w is not worst and w.stratum
    ]
    water = [said for said in _said_of_water(facts) if said != worst.rule]
    return replace(worst, notes=(*worst.notes, *undecided, *water))


def condition_of_stratum(stratum: StratumFacts, facts: PavementFacts) -> ConditionWord:
    """The word of one stratum from its own results."""
    if facts.action_mm_h is None:
        rule = f"The action level is not known. {facts.action_reason}".strip()
        return _word(facts, Word.NOT_DECIDED, rule, "Enter the criteria.", stratum)
    counted, doubtful, straddling = _sort_results(stratum, facts)
    beyond = _beyond_cleaning(stratum, facts, facts.action_mm_h)
    if beyond:
        return beyond
    below = [r for r in counted if is_below(r.mm_h, r.sign, facts.action_mm_h)]
    if below:
        return _below(stratum, facts, min(below, key=_lowness))
    if straddling:
        return _straddling(stratum, facts, min(straddling, key=_lowness))
    threat = _lowest_under(doubtful, facts.action_mm_h)
    if threat:
        step = "Test again dry, with the ring."
        rule = f"A result that may not decide gives {_shown(threat, facts)}."
        return _word(facts, Word.NOT_DECIDED, rule, step, stratum, threat)
    if not counted:
        back = facts.limits.look_back_months
        rule = f"No usable result in {back.value:g} months {back.by}."
        return _word(facts, Word.NOT_DECIDED, rule, "Test.", stratum)
    return _above(stratum, facts, min(counted, key=_lowness), doubtful)


def worse_only(computed: ConditionWord, chosen: Word, *, by: str, reason: str) -> ConditionWord:
    """The word a person sets over the computed one. Raises WordError if better or unreasoned."""
    if not reason.strip():
        raise WordError("Setting a condition word needs a reason.")
    if WORST_FIRST.index(chosen) > WORST_FIRST.index(computed.word):
        raise WordError(
            f"A person may set the word worse, never better: it is “{_said(computed.word)}”, "
            f"“{_said(chosen)}” would be better."
        )
    note = f"set from “{_said(computed.word)}” by {by}: {reason.strip()}"
    return replace(computed, word=chosen, set_by=by, notes=(*computed.notes, note))


def _sort_results(
    stratum: StratumFacts, facts: PavementFacts
) -> tuple[list[SpotResult], list[SpotResult], list[SpotResult]]:
    """Results that count, those that may only raise an alarm, and bounds that straddle."""
    action = facts.action_mm_h or 0.0
    first = facts.limits.first_day(facts.today)
    working = facts.limits.watch_factor.value * action
    recent = [r for r in stratum.results if first <= r.on <= facts.today and not r.superseded]
    counted, doubtful, straddling = [], [], []
    for result in recent:
        high = result.mm_h >= HIGH_ABOVE * working and result.sign != "<"
        if result.is_alarm or not (result.dry_shown or high):
            doubtful.append(result)
        elif is_below(result.mm_h, result.sign, action) is None:
            straddling.append(result)
        else:
            counted.append(result)
    return counted, doubtful, straddling


def _lowest_under(doubtful: list[SpotResult], level: float) -> SpotResult | None:
    """The lowest of the results that may not decide that is, or may be, under a level.

    Such a result raises an alarm; above the level it proves nothing, so alone it leaves the
    stratum without a usable result.
    """
    low = [r for r in doubtful if r.sign != ">" and is_below(r.mm_h, r.sign, level) is not False]
    return min(low, key=_lowness, default=None)


def _beyond_cleaning(
    stratum: StratumFacts, facts: PavementFacts, action: float
) -> ConditionWord | None:
    """The words for a stratum that the best cleaning no longer brings back."""
    best = stratum.best_cleaning
    if best is None:
        return None
    after = SpotResult(best.mm_h, best.spot, best.on, stratum.stratum, best.sign)
    at_once = is_below(best.mm_h, best.sign, action) is True
    if stratum.stratum is not Stratum.RUN_ON_EDGE:
        if not at_once:
            return None
        rule = "Beyond the strip, below the action level after the best method."
        return _word(facts, Word.NOT_WORKING, rule, _REPLACE, stratum, after)
    soon = facts.limits.back_below_months
    if not at_once and not _is_soon_back(best, int(soon.value)):
        return None
    field = _field_beyond(facts, action)
    within = f"within {soon.value:g} months {soon.by} of the best cleaning"
    how = "right after the best cleaning" if at_once else within
    rule = f"The run-on strip is below the action level {how}."
    notes = () if field else ("The field beyond is not shown to be above the action level.",)
    if facts.width.is_enough is None:
        unknown = "Whether the width needed is still there is not known."
        notes = (*notes, f"{unknown} {facts.width.words}".strip())
    word = _word(facts, Word.RESTORE, rule, _RESTORE, stratum, after)
    return replace(word, notes=notes)


def _is_soon_back(best: BestCleaning, months: int) -> bool:
    back = best.back_below_on
    return back is not None and months_before(back, months) < best.cleaned_on


def _field_beyond(facts: PavementFacts, action: float) -> bool:
    """Whether every other stratum with a result is above the action level."""
    others = [s for s in facts.strata if s.stratum is not Stratum.RUN_ON_EDGE]
    results = [r for s in others for r in _sort_results(s, facts)[0]]
    return bool(results) and all(is_below(r.mm_h, r.sign, action) is False for r in results)


def _below(stratum: StratumFacts, facts: PavementFacts, low: SpotResult) -> ConditionWord:
    if stratum.promises_gain is False:
        rule = "Below the action level, and cleaning no longer promises gain."
        return _word(facts, Word.RESTORE, rule, _RESTORE, stratum, low)
    rule = "A usable result is below the action level, and a cleaning still promises gain."
    return _word(facts, Word.CLEAN, rule, "Restorative cleaning this season.", stratum, low)


def _straddling(stratum: StratumFacts, facts: PavementFacts, bound: SpotResult) -> ConditionWord:
    action = show(facts.action_mm_h or 0.0, Kind.RATE, facts.system, digits=1)
    rule = f"The bound {_shown(bound, facts)} does not say on which side of {action} it lies."
    step = "Run the test again with 8 lb (3.6 kg)."
    if bound.sign == ">":
        step = "Check the spot for cracks and holes; test again with a head held."
    return _word(facts, Word.NOT_DECIDED, rule, step, stratum, bound)


def _above(
    stratum: StratumFacts, facts: PavementFacts, low: SpotResult, doubtful: list[SpotResult]
) -> ConditionWord:
    factor, least = facts.limits.watch_factor, facts.limits.watch_years_left
    working = factor.value * (facts.action_mm_h or 0.0)
    times = f"{factor.value:g} times the action level {factor.by}"
    if low.mm_h < working:
        rule = f"The lowest usable result is under {times}."
        return _word(facts, Word.WATCH, rule, _watch(facts), stratum, low)
    if stratum.years_left is not None and stratum.years_left < least.value:
        left = f"{stratum.years_left:.1f} years are left to the action level"
        rule = f"{left}, under {least.value:g} {least.by}."
        return _word(facts, Word.WATCH, rule, _watch(facts), stratum, low)
    threat = _lowest_under(doubtful, working)
    if threat:
        rule = f"A result that may not decide gives {_shown(threat, facts)}."
        return _word(facts, Word.WATCH, rule, "Test again dry, with the ring.", stratum, threat)
    rule = f"The lowest usable result is at least {times}."
    return _word(facts, Word.WORKING, rule, "Normal work of the season.", stratum, low)


def _words_of_water(facts: PavementFacts) -> list[ConditionWord]:
    """The words that the pavement as a whole gives, apart from any rate."""
    found = []
    hours, limit = facts.drawdown_h, facts.drawdown_limit_h
    if hours is not None and limit is not None and hours > limit:
        took = f"The drawdown took {hours:.0f} h; the limit is {limit:g} h."
        rule = facts.drawdown_words or took
        found.append(_word(facts, Word.NOT_WORKING, rule, _REPLACE))
    if facts.left_in_small_storm:
        rule = facts.left_words or "Water left the pavement in a storm below design."
        found.append(_word(facts, Word.NOT_WORKING, rule, _REPLACE))
    elif facts.left_in_small_storm is None and facts.left_words:
        found.append(_word(facts, Word.NOT_DECIDED, facts.left_words, _WRITE_STORM))
    if facts.width.is_enough is False:
        why = facts.width.words or f"The reserve is {facts.width.reserve_words}."
        rule = f"The width needed is over the width left. {why}"
        found.append(_word(facts, Word.NOT_WORKING, rule, _REPLACE))
    if facts.source_open:
        found.append(_word(facts, Word.WATCH, "A source of dirt is open.", _watch(facts)))
    least = facts.limits.watch_reserve_percent
    if facts.width.is_reserve_under(least.value):
        rule = f"The reserve is {facts.width.reserve_words}, under {least.value:g} % {least.by}."
        found.append(_word(facts, Word.WATCH, rule, _watch(facts)))
    if facts.ponding:
        rule = facts.ponding_words or "Water stood on the surface."
        found.append(_word(facts, Word.WATCH, rule, _LOOK_BELOW))
    return found


def _said_of_water(facts: PavementFacts) -> list[str]:
    """What people saw the water do, and what is open: told beside whatever word decides."""
    ponding = facts.ponding_words if facts.ponding else ""
    return [said for said in (facts.left_words, ponding, _said_of_reserve(facts)) if said]


def _said_of_reserve(facts: PavementFacts) -> str:
    """What keeps the reserve of a known clogged strip from being compared, or nothing."""
    least, width = facts.limits.watch_reserve_percent, facts.width
    if not width.is_strip_known or width.is_reserve_under(least.value) is not None:
        return ""
    why = width.words if width.reserve is None else f"it is {width.reserve_words}."
    return f"Whether the reserve is under {least.value:g} % {least.by} is not decided: {why}"


def _watch(facts: PavementFacts) -> str:
    months = f"{facts.limits.watch_test_months.value:g}"
    return f"Test again in {months} month{'' if months == '1' else 's'}; fix the source of dirt."


_LOOK_BELOW = "Look at base, grade and outlet; look again after the next rain."
_WRITE_STORM = "Write what is missing of that rain or of the design storm; look in the next rain."
_RESTORE = "Core it, find the source, plan the repair of the rows, with dates."
_REPLACE = "Repair or replace; tell whoever the permit names."


def _word(
    facts: PavementFacts,
    word: Word,
    rule: str,
    next_step: str,
    stratum: StratumFacts | None = None,
    result: SpotResult | None = None,
) -> ConditionWord:
    return ConditionWord(
        word=word,
        rule=rule,
        next_step=next_step,
        stratum=stratum.stratum if stratum else None,
        mm_h=result.mm_h if result else None,
        sign=result.sign if result else "",
        spot=result.spot if result else "",
        on=result.on if result else None,
        action_mm_h=facts.action_mm_h,
    )


def _badness(word: ConditionWord) -> tuple[int, bool, float]:
    """Worst word first; among equals one with a result, and of those the lowest."""
    lowest = float("inf") if word.mm_h is None else word.mm_h
    return WORST_FIRST.index(word.word), word.mm_h is None, lowest


def _lowness(result: SpotResult) -> tuple[float, bool]:
    return result.mm_h, result.sign != "<"


def _shown(result: SpotResult, facts: PavementFacts) -> str:
    return show(result.mm_h, Kind.RATE, facts.system, sign=result.sign)


def _said(word: Word) -> str:
    return word.value.replace("_", " ")
