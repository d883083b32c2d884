"""The kinds of defect and what a form asks of each."""

from dataclasses import fields

import pytest

from registry.defects import KINDS, LIMITS, WORDS, Measured, UnknownKind, kind_of
from registry.drawing.key import KEY
from registry.drawing.primitives import Symbol

FIELDS = {field.name for field in fields(Measured)}


def test_the_kinds_stand_in_the_order_of_the_table():
    assert " ".join(KINDS) == (
        "raveling edge_raveling sealed_spot clogged crack corner_break lip settlement scaling "
        "plow_scrape abrasion spall stain discoloration growth prints joint_stone_low edge_loss "
        "ponding"
    )


@pytest.mark.parametrize("kind", KINDS.values(), ids=list(KINDS))
def test_a_kind_asks_for_fields_that_exist_and_first_for_what_decides(kind):
    assert set(kind.asks) <= FIELDS
    assert {limit.field for limit in LIMITS[kind.code]} <= set(kind.asks)
    deciding = [limit.field for limit in LIMITS[kind.code] if limit.decides]
    assert list(kind.asks[: len(deciding)]) == deciding


@pytest.mark.parametrize("kind", KINDS.values(), ids=list(KINDS))
def test_a_mark_is_on_the_printed_key_or_is_the_dot_for_anything_else(kind):
    assert Symbol(kind.mark) in {entry.symbol for entry in KEY} | {Symbol.OTHER}


@pytest.mark.parametrize("kind", KINDS.values(), ids=list(KINDS))
def test_the_extent_of_a_kind_is_asked_for(kind):
    extent = {"m2": "area_m2", "m": "length_m", "count": "count", "mm": "lip_m"}
    assert extent[kind.unit] in kind.asks


def test_every_field_has_a_word_of_the_trade():
    assert set(WORDS) == FIELDS


def test_a_code_that_is_no_kind_is_refused_in_words():
    with pytest.raises(UnknownKind, match="“pothole” is not a kind of defect"):
        kind_of("pothole")


def test_direction_of_a_plow_scrape_is_asked_for():
    """Common practice, no source: with it one sees from which side the blade came."""
    assert [kind.code for kind in KINDS.values() if "direction" in kind.asks] == ["plow_scrape"]
