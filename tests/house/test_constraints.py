"""Every constraint of a table is tried by name in the tests of its noun."""

from pathlib import Path

from tests.models.refusals import RULES

MODEL_TESTS = Path(__file__).parents[1] / "models"
LEFT_TO_THEIR_ACTIONS = {
    "defect",
    "observation",
    "photo",
    "sheet_copy",
    "visit",
    "waiting_correction",
}
"""Nouns whose rules are left to the tests of what writes them."""


def noun_of(rule: str) -> str:
    return RULES[rule][0].__module__.rsplit(".", 1)[-1]


def untried(rules: dict[str, str], texts: dict[str, str]) -> set[str]:
    """Rules (name -> noun) that the text of their noun's tests does not name."""
    return {rule for rule, noun in rules.items() if f'"{rule}"' not in texts.get(noun, "")}


def test_every_rule_of_the_tables_is_tried():
    texts = {
        path.stem.removeprefix("test_"): path.read_text(encoding="utf-8")
        for path in MODEL_TESTS.glob("test_*.py")
    }
    rules = {rule: noun_of(rule) for rule in RULES}
    asked = {r: n for r, n in rules.items() if n not in LEFT_TO_THEIR_ACTIONS}
    assert untried(asked, texts) == set()


def test_a_rule_that_nobody_tries_is_found():
    rules = {"ring_has_a_diameter": "ring", "plan_number_once": "plan"}
    texts = {"ring": 'refused("ring_has_a_diameter", make)'}
    assert untried(rules, texts) == {"plan_number_once"}
