"""No text sets off a formula, and every text comes back as it was."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from registry.exchange.guarded_text import SETS_OFF, guard, unguard


@given(st.text())
def test_every_text_comes_back_as_it_was(text: str):
    assert unguard(guard(text)) == text


@given(st.text(min_size=1))
def test_no_text_begins_with_what_sets_off_a_formula(text: str):
    assert guard(text)[0] not in SETS_OFF


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx", "＝1", "＋1"])
def test_dangerous_beginnings_stand_behind_an_apostrophe(text: str):
    assert guard(text) == "'" + text


@pytest.mark.parametrize("text", ["P1", "12", "Mill Lane", "", "a=b"])
def test_plain_texts_are_left_alone(text: str):
    assert guard(text) == text


def test_a_persons_own_apostrophe_is_kept():
    assert guard("'tis") == "''tis"
    assert unguard("''tis") == "'tis"
    assert unguard("'tis") == "'tis"
