"""Marks are plain data beside a picture, checked when they are read."""

import json

import pytest

from registry.imaging import Mark, MarkKind, MarksRefused, read_marks, write_marks

ARROW = {"kind": "arrow", "points": [[0.2, 0.3], [0.4, 0.5]], "words": "lip 1/4 in"}
MARKS = (
    Mark(MarkKind.ARROW, ((0.2, 0.3), (0.4, 0.5)), "lip 1/4 in"),
    Mark(MarkKind.RING, ((0.5, 0.5), (0.6, 0.5))),
    Mark(MarkKind.LINE, ((0.0, 0.0), (0.5, 0.1), (1.0, 1.0))),
    Mark(MarkKind.OUTLINE, ((0.1, 0.1), (0.2, 0.1), (0.2, 0.2))),
    Mark(MarkKind.WORDS, ((0.9, 0.9),), "C10 looking up"),
)


def test_marks_come_back_from_json_as_they_were():
    assert read_marks(json.loads(json.dumps(write_marks(MARKS)))) == MARKS


def test_no_marks_are_no_marks():
    assert read_marks([]) == ()
    assert write_marks(()) == []


def test_words_may_be_left_out():
    assert read_marks([{"kind": "line", "points": [[0, 0], [1, 1]]}])[0].words == ""


@pytest.mark.parametrize(
    ("stored", "words"),
    [
        ({"kind": "arrow"}, "as a list"),
        ("arrow", "as a list"),
        (None, "as a list"),
        ([ARROW] * 101, "up to 100 marks"),
        (["arrow"], "nothing else"),
        ([ARROW | {"onclick": "x"}], "nothing else"),
        ([ARROW | {"kind": "star"}], "no kind of mark"),
        ([ARROW | {"kind": ["arrow"]}], "no kind of mark"),
        ([ARROW | {"kind": None}], "no kind of mark"),
        ([ARROW | {"points": [[0.1, 0.1]]}], "takes 2 points"),
        ([ARROW | {"points": [[0.1, 0.1]] * 2}], "in one place"),
        ([ARROW | {"points": [[0.1, 1.1], [0, 0]]}], "within the picture"),
        ([ARROW | {"points": [[0.1, -0.1], [0, 0]]}], "within the picture"),
        ([ARROW | {"points": [[0.1, float("nan")], [0, 0]]}], "two numbers"),
        ([ARROW | {"points": [[0.1, float("inf")], [0, 0]]}], "two numbers"),
        ([ARROW | {"points": [[0.1, 10**400], [0, 0]]}], "two numbers"),
        ([ARROW | {"points": [[0.1, True], [0, 0]]}], "two numbers"),
        ([ARROW | {"points": [[0.1, "0.2"], [0, 0]]}], "two numbers"),
        ([ARROW | {"points": [[0.1, 0.2, 0.3], [0, 0]]}], "two numbers"),
        ([ARROW | {"points": ["ab", "cd"]}], "two numbers"),
        ([ARROW | {"points": "abcd"}], "a list of up to"),
        ([ARROW | {"points": None}], "a list of up to"),
        ([{"kind": "line", "points": [[0.1, 0.1]] * 501}], "a list of up to 500"),
        ([{"kind": "outline", "points": [[0, 0], [1, 1]]}], "takes 3 to 500 points"),
        ([ARROW | {"words": "x" * 121}], "up to 120 signs"),
        ([ARROW | {"words": "two\nlines"}], "one line"),
        ([ARROW | {"words": 7}], "are text"),
        ([{"kind": "words", "points": [[0, 0]], "words": " "}], "are empty"),
    ],
)
def test_what_is_no_mark_is_refused_in_words(stored: object, words: str):
    with pytest.raises(MarksRefused, match=words):
        read_marks(stored)
