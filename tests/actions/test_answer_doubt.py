"""A person's answer may lift a slip of units, never a wet day; a decision can be given back."""

import pytest
from django.test import TestCase

from registry.actions.answer_doubt import (
    CannotBeAnswered,
    answer_doubt,
    is_lifted_by_answer,
    keep_out,
    let_rule_decide,
)
from registry.actions.judge_tests import judge_tests
from registry.models import JournalLine
from tests.factories import InfiltrationTestFactory, OrganisationFactory, PersonFactory


class TestAnswerDoubt(TestCase):
    @classmethod
    def setUpTestData(cls):
        cls.row = InfiltrationTestFactory(rain_within_24_h="yes")
        judge_tests([cls.row.pavement_id])
        cls.row.refresh_from_db()
        cls.by = {"by": PersonFactory(name="Ann"), "organisation": OrganisationFactory()}

    def answer(self, code, text="asked the tester", lifts=False):
        return answer_doubt(self.row, code=code, text=text, lifts=lifts, **self.by)

    @property
    def codes(self):
        return [doubt["code"] for doubt in self.row.doubts]

    def test_answer_is_kept_with_who_gave_it_and_in_the_journal(self):
        code = self.codes[0]
        row = self.answer(code)
        assert (row.answers[code]["text"], row.answers[code]["by"]) == ("asked the tester", "Ann")
        line = JournalLine.objects.about(row).get()
        assert (line.verb, line.changes) == ("answered", {"doubt": [code, "kept out"]})

    def test_wet_day_is_not_lifted_by_a_word(self):
        wet = [code for code in self.codes if not is_lifted_by_answer(code)]
        assert wet
        with pytest.raises(CannotBeAnswered, match="cannot lift this doubt"):
            self.answer(wet[0], lifts=True)
        self.row.refresh_from_db()
        assert self.row.answers == {}

    def test_answer_says_something_and_to_a_doubt_that_stands(self):
        with pytest.raises(CannotBeAnswered, match="who answered"):
            self.answer(self.codes[0], text=" ")
        with pytest.raises(CannotBeAnswered, match="no longer stands"):
            self.answer("above_as_built")

    def test_person_keeps_a_test_out_and_gives_the_decision_back(self):
        by_rule = self.row.use
        kept = keep_out(self.row, why="ring was bent", **self.by)
        assert (kept.use, kept.use_is_decided_by_person) == ("looked_at", True)
        assert kept.use_reason == "ring was bent (Ann)"
        back = let_rule_decide(self.row, why="another ring", **self.by)
        assert (back.use, back.use_is_decided_by_person) == (by_rule, False)

    def test_decision_says_why(self):
        for decide in (keep_out, let_rule_decide):
            with pytest.raises(CannotBeAnswered, match="Say why"):
                decide(self.row, why="", **self.by)


@pytest.mark.parametrize(
    ("code", "lifted"),
    [("ratio_2.2", True), ("ring_size", True), ("stated_other", True), ("too_short", True),
     ("seal_leaking", False), ("rain", False), ("third_run", False)],
)  # fmt: skip
def test_slips_are_lifted_by_a_word_and_readings_are_not(code, lifted):
    assert is_lifted_by_answer(code) == lifted
