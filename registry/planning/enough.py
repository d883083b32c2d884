"""Whether sweeping is still enough: six rules, each with the values that made its answer.

(1) after the best method, two passes, dry test, a spot is still below the action level; (2) back
below it in under 6 months, twice; (3) regained share under 25 % twice, as-built known; (4) a core
shows fines deeper than 1 in (25 mm) or paste closing the bottom; (5) width needed over width left;
(6) low since placing at that load, and cleaning never helped. Common practice, no source, but that
a ring test does not see sealing near the bottom: scope of ASTM C1701/C1701M (from memory).
"""

from registry.measuring import NoWidth, is_below
from registry.planning.enough_facts import (
    BACK_MONTHS,
    AfterTest,
    Core,
    Enough,
    EnoughFacts,
    EnoughRule,
    LoadSincePlacing,
    RuleAnswer,
)
from registry.planning.proposal import DRY_GAIN_ENOUGH

PASSES = 2
LEAST_SHARE = 0.25
TWICE = 2
DEEP_FINES_MM = 25.4


def is_sweeping_enough(facts: EnoughFacts) -> Enough:
    """Return what each of the six rules says."""
    return Enough(
        (
            _after_the_best(facts),
            _back_below(facts),
            _small_share(facts),
            _core(facts),
            _width(facts),
            _since_placing(facts),
        )
    )


def _after_the_best(facts: EnoughFacts) -> RuleAnswer:
    rule, action = EnoughRule.AFTER_THE_BEST, facts.action_mm_h
    if action is None:
        return RuleAnswer(rule, None, "The action level is not known.", "action level")
    last = max((t.cleaned_on for t in facts.after_tests if t.is_best), default=None)
    tests = [t for t in facts.after_tests if t.is_best and t.cleaned_on == last]
    wanted = [t for t in tests if (t.passes or 0) >= PASSES and t.dry]
    low = [t for t in wanted if is_below(t.mm_h, t.sign, action)]
    if low:
        worst = min(low, key=lambda t: t.mm_h)
        words = (
            f"{worst.spot} {facts.rate(worst.mm_h, worst.sign)} on {worst.on}, after the best "
            f"method of {worst.cleaned_on}, is below {facts.level(action)}."
        )
        return RuleAnswer(rule, True, words)
    if not wanted:
        return RuleAnswer(rule, None, _why_no_best(tests), "dry test after two passes, best method")
    if any(is_below(t.mm_h, t.sign, action) is None for t in wanted):
        return RuleAnswer(rule, None, "A bound straddles the action level.", "test that drains")
    words = f"All {len(wanted)} spots tested after {last} are at or above {facts.level(action)}."
    return RuleAnswer(rule, False, words)


def _why_no_best(tests: list[AfterTest]) -> str:
    if not tests:
        return "Nobody tested after the best method."
    if not any((t.passes or 0) >= PASSES for t in tests):
        return f"After the best method of {tests[0].cleaned_on} two passes are not written."
    return f"That the test after {tests[0].cleaned_on} was dry is not shown."


def _back_below(facts: EnoughFacts) -> RuleAnswer:
    rule = EnoughRule.BACK_BELOW
    if facts.action_mm_h is None:
        return RuleAnswer(rule, None, "The action level is not known.", "action level")
    early = [a for a in facts.aftermaths if a.is_back_early]
    words = ", ".join(f"{a.cleaned_on}, below again {a.below_on}" for a in early)
    if len(early) >= TWICE:
        return RuleAnswer(rule, True, f"Back below in under {BACK_MONTHS} months: {words}.")
    untold = sum(a.is_back_early is None for a in facts.aftermaths)
    if len(early) + untold >= TWICE:
        words = f"After {untold} cleanings nobody tested about {BACK_MONTHS} months later."
        return RuleAnswer(rule, None, words, "test 6 months after a restorative cleaning")
    return RuleAnswer(rule, False, f"Back below in under {BACK_MONTHS} months {len(early)} times.")


def _small_share(facts: EnoughFacts) -> RuleAnswer:
    rule, small, open_ = EnoughRule.SMALL_SHARE, [], False
    for one in facts.regained:
        below = is_below(one.share, one.sign, LEAST_SHARE)
        small += [one] if below else []
        open_ = open_ or below is None
    days = {one.cleaned_on for one in small}
    if len(days) >= TWICE:
        words = ", ".join(f"{r.spot} {100 * r.share:.0f} % on {r.cleaned_on}" for r in small)
        return RuleAnswer(rule, True, f"Regained under 25 %: {words}.")
    if not facts.regained or open_:
        words = "No regained share is known" if not facts.regained else "A share is a bound"
        return RuleAnswer(rule, None, f"{words}.", "as-built rate and dry tests on both sides")
    return RuleAnswer(rule, False, f"Regained under 25 % after {len(days)} cleanings.")


def _core(facts: EnoughFacts) -> RuleAnswer:
    rule = EnoughRule.CORE
    if found := [words for core in facts.cores if (words := _core_decides(core, facts))]:
        return RuleAnswer(rule, True, f"{'; '.join(found)}.")
    whole = [c for c in facts.cores if c.fines_mm is not None and c.bottom_closed is not None]
    if not whole or len(whole) < len(facts.cores):
        return RuleAnswer(rule, None, _why_no_core(facts.cores), "core")
    deepest = max(whole, key=lambda core: core.fines_mm or 0.0)
    reach = f"deepest in core {deepest.name}, {facts.depth(deepest.fines_mm or 0.0)}"
    last = max((core.taken_on for core in whole if core.taken_on), default=None)
    many = f"Cores: {len(whole)}" + (f", the last of {last}" if last else "")
    return RuleAnswer(rule, False, f"{many}; fines {reach}; no bottom closed.")


def _core_decides(core: Core, facts: EnoughFacts) -> str:
    """Return by what a core alone says that sweeping is no longer enough, or nothing."""
    said = []
    if core.fines_mm is not None and core.fines_mm > DEEP_FINES_MM:
        said.append(f"fines {facts.depth(core.fines_mm)} deep, over {facts.depth(DEEP_FINES_MM)}")
    if core.bottom_closed:
        said.append("paste closes the bottom")
    return f"Core {core.name}: {', '.join(said)}" if said else ""


def _why_no_core(cores: tuple[Core, ...]) -> str:
    if not cores:
        return "No core is on record."
    untold = (
        ("Depth of fines", [c.name for c in cores if c.fines_mm is None]),
        ("Whether paste closes the bottom", [c.name for c in cores if c.bottom_closed is None]),
    )
    return " ".join(
        f"{what} is not told of core {', '.join(names)}." for what, names in untold if names
    )


def _width(facts: EnoughFacts) -> RuleAnswer:
    rule, width = EnoughRule.WIDTH, facts.width
    if width is None:
        words = facts.no_width or "Width needed and left are not known."
        return RuleAnswer(rule, None, words, facts.width_missing or "clogged strip, N9")
    if isinstance(width, NoWidth):
        slow = width.code == "field_too_slow"
        return RuleAnswer(rule, slow or None, width.reason, "" if slow else "test of the field")
    needed, left = facts.length(width.width_m, width.sign), facts.length(width.width_left_m)
    words = f"Needed {needed} of {left} left."
    enough = width.is_enough
    if enough is None:
        return RuleAnswer(rule, None, words, "test that is no bound")
    return RuleAnswer(rule, not enough, words)


def _since_placing(facts: EnoughFacts) -> RuleAnswer:
    rule, action = EnoughRule.SINCE_PLACING, facts.action_mm_h
    if action is None:
        return RuleAnswer(rule, None, "The action level is not known.", "action level")
    low = [load for load in facts.loads if _may_be_low(load, action)]
    for load in low:
        gain = load.best_gain
        if not _is_open(load, action) and gain is not None and gain < DRY_GAIN_ENOUGH:
            words = (
                f"{load.load}: {facts.rate(load.mm_h, load.sign)} since placing; the best gain of "
                f"a cleaning was {gain:.1f}."
            )
            return RuleAnswer(rule, True, words)
    unsure = [load.load for load in low if _is_open(load, action)]
    if unsure:
        words = f"{', '.join(unsure)}: may be low since placing; what cleaning did is open."
        return RuleAnswer(rule, None, words, "gain of a cleaning at that load")
    if facts.no_loads or not facts.loads:
        words = facts.no_loads or "No acceptance test by load."
        return RuleAnswer(rule, None, words, "acceptance tests by load")
    tested = f"Loads with an acceptance test: {len(facts.loads)}"
    tested += f" of {facts.loads_placed}" if facts.loads_placed else ""
    return RuleAnswer(rule, False, f"{tested}; none is low since placing without help.")


def _may_be_low(load: LoadSincePlacing, action_mm_h: float) -> bool:
    return not load.was_above and is_below(load.mm_h, load.sign, action_mm_h) is not False


def _is_open(load: LoadSincePlacing, action_mm_h: float) -> bool:
    return load.best_gain is None or is_below(load.mm_h, load.sign, action_mm_h) is None
