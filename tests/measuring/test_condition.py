"""The condition word, against the table of the town's pavements and each rule by itself."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.measuring import (
    WORST_FIRST,
    BestCleaning,
    PavementFacts,
    SpotResult,
    Stratum,
    StratumFacts,
    Word,
    WordError,
    condition_of_pavement,
    condition_of_stratum,
    worse_only,
)
from registry.measuring.width_seen import WidthSeen

IN = 25.4
TODAY = date(2026, 10, 15)
E, T, S = Stratum.RUN_ON_EDGE, Stratum.WHEEL_PATH, Stratum.FIELD


def result(in_h: float, stratum=E, spot="U", on=date(2026, 5, 20), **changes) -> SpotResult:
    return SpotResult(in_h * IN, spot, on, stratum, **changes)


def facts(*strata: StratumFacts, action: float | None = 12.5, **changes) -> PavementFacts:
    level = None if action is None else action * IN
    return PavementFacts(today=TODAY, action_mm_h=level, strata=strata, **changes)


def edge(*results: SpotResult, **changes) -> StratumFacts:
    return StratumFacts(E, results, **changes)


def of_edge(*results: SpotResult, action=12.5, **changes):
    stratum = edge(*results, **changes)
    return condition_of_stratum(stratum, facts(stratum, action=action))


# Town number, action level, rates by stratum, source of dirt open, word, lowest rate printed
TABLE_3D = [
    ("PP-18-02", 15.5, {E: (58,), S: (86,)}, None, Word.WORKING, 58),
    ("PP-18-09", 10.0, {E: (104,), T: (78,), S: (130,)}, None, Word.WORKING, 78),
    ("PP-19-01", 18.6, {E: (97,), S: (210,)}, None, Word.WORKING, 97),
    ("PP-19-06", 18.6, {E: (430, 395), T: (30, 24), S: (70, 19)}, None, Word.WATCH, 19),
    ("PP-20-01", 10.0, {E: (360,), T: (480,), S: (465,)}, None, Word.WORKING, 360),
    ("PP-20-07", 12.5, {E: (96,), S: (305, 390)}, None, Word.WORKING, 96),
    ("PP-21-05", 10.0, {T: (525,)}, None, Word.WORKING, 525),
    ("PP-22-05", 13.6, {E: (96,), S: (210,)}, True, Word.WATCH, None),
    ("PP-22-08", 18.6, {E: (16, 185, 190), T: (400,), S: (570,)}, None, Word.CLEAN, 16),
    ("PP-23-03 10A", 10.0, {E: (430,), T: (490,)}, None, Word.WORKING, 430),
    ("PP-23-03 10B", 10.0, {E: ()}, None, Word.NOT_DECIDED, None),
    ("PP-24-04", 18.6, {E: (240,)}, None, Word.WORKING, 240),
]


@pytest.mark.parametrize("line", TABLE_3D, ids=lambda line: line[0])
def test_table_7_3_d(line):
    _, action, rates, source, word, lowest = line
    strata = [StratumFacts(k, tuple(result(r, k) for r in v)) for k, v in rates.items()]
    found = condition_of_pavement(facts(*strata, action=action, source_open=source))
    assert found.word is word
    assert found.mm_h == (None if lowest is None else pytest.approx(lowest * IN))


@pytest.mark.parametrize(
    ("in_h", "word"),
    [(25.0, Word.WORKING), (24.9, Word.WATCH), (12.5, Word.WATCH), (12.4, Word.CLEAN)],
)
def test_the_word_changes_at_the_action_level_and_at_twice_it(in_h, word):
    found = of_edge(result(in_h))
    assert found.word is word
    assert (found.spot, found.on, found.stratum) == ("U", date(2026, 5, 20), E)
    assert found.action_mm_h == 12.5 * IN
    assert found.rule
    assert found.next_step


def test_the_lowest_decides_and_never_the_average():
    assert of_edge(result(400), result(12, spot="U2"), result(500)).spot == "U2"


def test_a_bound_under_the_action_level_says_clean():
    found = of_edge(result(3.9, sign="<"), result(60))
    assert (found.word, found.sign) == (Word.CLEAN, "<")


def test_case_06_a_bound_above_the_action_level_is_not_decided_and_asks_for_8_lb():
    found = of_edge(result(19.6, sign="<"))
    assert found.word is Word.NOT_DECIDED
    assert "8 lb" in found.next_step
    assert "< 19.6 in/h" in found.rule
    assert "12.5 in/h" in found.rule


def test_case_06_holds_beside_a_good_result_but_not_beside_one_that_is_below():
    assert of_edge(result(400), result(19.6, sign="<")).word is Word.NOT_DECIDED
    assert of_edge(result(5), result(19.6, sign="<")).word is Word.CLEAN


def test_a_bound_from_above_is_working_only_if_it_is_high_enough():
    assert of_edge(result(3190, sign=">")).word is Word.WORKING
    assert of_edge(result(20, sign=">")).word is Word.WATCH
    low = of_edge(result(8, sign=">"))
    assert (low.word, "head" in low.next_step) == (Word.NOT_DECIDED, True)


@pytest.mark.parametrize(
    ("on", "word"),
    [
        (date(2024, 10, 15), Word.WORKING),
        (date(2024, 10, 14), Word.NOT_DECIDED),
        (date(2026, 10, 16), Word.NOT_DECIDED),  # a result of a later day decides nothing today
    ],
)
def test_only_the_last_24_months_count(on, word):
    assert of_edge(result(400, on=on)).word is word


def test_no_criteria_is_not_decided_and_says_why():
    found = condition_of_pavement(
        facts(edge(result(400)), action=None, action_reason="The lot was split.")
    )
    assert found.word is Word.NOT_DECIDED
    assert "The lot was split." in found.rule


def test_a_superseded_result_no_longer_decides():
    washed = result(12, superseded="before the wash of 2026-09-15")
    assert of_edge(washed, result(96), action=13.6).word is Word.WORKING


def test_case_18_a_result_not_shown_dry_counts_only_if_high_above_the_level():
    assert of_edge(result(50, dry_shown=False)).word is Word.WORKING
    assert of_edge(result(49, dry_shown=False)).word is Word.NOT_DECIDED
    assert of_edge(result(5, dry_shown=False)).word is Word.NOT_DECIDED
    assert of_edge(result(400), result(5, dry_shown=False)).word is Word.NOT_DECIDED
    assert of_edge(result(400), result(20, dry_shown=False)).word is Word.WATCH
    assert of_edge(result(400), result(19.6, sign="<", dry_shown=False)).word is Word.NOT_DECIDED


def test_case_25_a_quick_pour_may_raise_and_never_lower_an_alarm():
    pour = result(5, is_alarm=True)
    assert of_edge(result(400), pour).word is Word.NOT_DECIDED
    assert of_edge(result(5), result(900, is_alarm=True)).word is Word.CLEAN
    assert of_edge(result(900, is_alarm=True)).word is Word.NOT_DECIDED
    assert of_edge(result(400), result(900, is_alarm=True)).word is Word.WORKING


def test_case_23_one_test_still_gives_a_word():
    assert of_edge(result(525), action=10.0).word is Word.WORKING


def test_under_a_year_and_a_half_left_is_watch():
    assert of_edge(result(60), years_left=1.4).word is Word.WATCH
    assert of_edge(result(60), years_left=1.5).word is Word.WORKING


BEST = BestCleaning(date(2024, 10, 8), 6.1 * IN, "U", date(2024, 10, 8))


def larch_row(**changes) -> PavementFacts:
    """The rear lot of Larch Row after its second wash: U 6.1, W 33, action level 21."""
    strip = edge(result(6.1, on=date(2024, 10, 8)), best_cleaning=BEST)
    wheel = StratumFacts(T, (result(33, T, "W", date(2024, 10, 8)),))
    given_values = {
        "today": date(2024, 11, 18),
        "width": WidthSeen(0.08, is_enough=True),
        **changes,
    }
    return replace(facts(strip, wheel, action=21.0), **given_values)


def test_a_strip_still_below_after_the_best_cleaning_is_restore_while_the_field_takes_it():
    found = condition_of_pavement(larch_row())
    assert (found.word, found.spot, found.notes) == (Word.RESTORE, "U", ())


def test_water_in_a_small_storm_or_too_little_width_is_not_working():
    assert condition_of_pavement(larch_row(left_in_small_storm=True)).word is Word.NOT_WORKING
    narrow = larch_row(width=WidthSeen(-1.06, is_enough=False))
    found = condition_of_pavement(narrow)
    assert (found.word, "-106 %" in found.rule) == (Word.NOT_WORKING, True)


def test_restore_says_what_is_not_known_of_the_field_and_the_width():
    strip_only = replace(
        larch_row(width=WidthSeen(words="No panel plan.")), strata=larch_row().strata[:1]
    )
    found = condition_of_pavement(strip_only)
    assert found.word is Word.RESTORE
    assert len(found.notes) == 2 and found.notes[1].endswith("not known. No panel plan.")


@pytest.mark.parametrize(
    ("back", "word"),
    [(date(2026, 4, 7), Word.RESTORE), (date(2026, 4, 9), Word.CLEAN), (None, Word.WORKING)],
)
def test_back_below_within_6_months_of_the_best_cleaning_is_restore(back, word):
    best = BestCleaning(date(2025, 10, 8), 60 * IN, "U", date(2025, 10, 9), back_below_on=back)
    now = (result(5, on=back),) if back else (result(60),)
    assert of_edge(*now, best_cleaning=best).word is word


def test_a_field_below_after_the_best_method_is_not_working():
    best = BestCleaning(date(2026, 5, 1), 8 * IN, "M", date(2026, 5, 2))
    field = StratumFacts(S, (result(8, S, "M"),), best_cleaning=best)
    assert condition_of_stratum(field, facts(field)).word is Word.NOT_WORKING


def test_below_without_promise_of_gain_is_restore():
    assert of_edge(result(5), promises_gain=False).word is Word.RESTORE


@pytest.mark.parametrize(
    ("changes", "word"),
    [
        ({"drawdown_h": 72, "drawdown_limit_h": 72}, Word.WORKING),
        ({"drawdown_h": 73, "drawdown_limit_h": 72}, Word.NOT_WORKING),
        ({"drawdown_h": 73}, Word.WORKING),
        ({"ponding": True}, Word.WATCH),
        ({"source_open": True}, Word.WATCH),
        ({"width": WidthSeen(0.39)}, Word.WATCH),
        ({"width": WidthSeen(0.40)}, Word.WORKING),
        ({"width": WidthSeen(-1.06)}, Word.WATCH),
        ({"width": WidthSeen(0.39, ">")}, Word.WORKING),
        ({"width": WidthSeen(0.39, "<")}, Word.WATCH),
    ],
)
def test_what_the_water_and_the_ground_say(changes, word):
    assert condition_of_pavement(facts(edge(result(400)), **changes)).word is word


def test_a_pavement_takes_its_worst_stratum_and_names_the_undecided_ones():
    low = edge(result(5))
    open_one = StratumFacts(S)
    found = condition_of_pavement(facts(low, open_one))
    assert (found.word, found.stratum) == (Word.CLEAN, E)
    assert found.notes == ("stalls or middle is not decided",)


def test_not_decided_is_never_hidden_behind_watch_or_working():
    undecided = StratumFacts(S)
    for good in (400, 15):
        assert condition_of_pavement(facts(edge(result(good)), undecided)).word is Word.NOT_DECIDED


def test_a_pavement_without_strata_is_not_decided():
    assert condition_of_pavement(facts()).word is Word.NOT_DECIDED


def test_a_person_may_set_it_worse_with_a_reason():
    found = worse_only(of_edge(result(60)), Word.RESTORE, by="R. Holt", reason="Core shows fines.")
    assert (found.word, found.set_by) == (Word.RESTORE, "R. Holt")
    assert found.notes == ("set from “working” by R. Holt: Core shows fines.",)


@pytest.mark.parametrize(
    ("in_h", "chosen", "reason"),
    [
        (15, Word.WORKING, "Looks fine."),
        (5, Word.NOT_DECIDED, "Unsure."),
        (60, Word.RESTORE, "  "),
    ],
)
def test_better_or_without_a_reason_is_refused(in_h, chosen, reason):
    with pytest.raises(WordError):
        worse_only(of_edge(result(in_h)), chosen, by="R. Holt", reason=reason)


def test_not_decided_cannot_be_set_to_watch_or_working():
    undecided = of_edge()
    for better in (Word.WATCH, Word.WORKING):
        with pytest.raises(WordError):
            worse_only(undecided, better, by="R. Holt", reason="Looks fine.")


RATES = st.lists(st.floats(1, 500), min_size=1, max_size=4)


@given(RATES, st.floats(1, 500))
def test_one_more_result_never_makes_the_word_better(rates, more):
    before = of_edge(*[result(r) for r in rates]).word
    after = of_edge(*[result(r) for r in (*rates, more)]).word
    assert WORST_FIRST.index(after) <= WORST_FIRST.index(before)


@given(RATES, RATES)
def test_a_pavement_is_never_better_than_any_of_its_strata(ours, theirs):
    strip = edge(*[result(r) for r in ours])
    wheel = StratumFacts(T, tuple(result(r, T) for r in theirs))
    given_facts = facts(strip, wheel)
    whole = WORST_FIRST.index(condition_of_pavement(given_facts).word)
    for stratum in (strip, wheel):
        assert whole <= WORST_FIRST.index(condition_of_stratum(stratum, given_facts).word)
