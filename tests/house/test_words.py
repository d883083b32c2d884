"""The project speaks for itself, in the words of the trade."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.house.files import files_under, project_files, read

# Written in pieces, so that this file does not hold what it looks for.
FOREIGN = re.compile(
    "|".join(
        [
            "trans" + "cript",
            "seed" + " document",
            "vid" + "eo(?!/)",
            "/wo" + "rk/",
            "/fa" + "rm/",
            r"\.\./sha" + "red",
            "sub" + "agent",
        ]
    ),
    re.IGNORECASE,
)
ALLOWED = re.compile(r"<vid" + r"eo\b|nvidia|\bvid" + r"eo/", re.IGNORECASE)

# Words that another trade would use, or that judge where the record only tells.
AVOIDED = re.compile(
    r"\bassets?\b|(?<!batch )\btickets?\b|\bissues?\b|\bscor(?:e|es|ing)\b"
    r"|\bhealth\b(?! and safety)|\bfail(?:s|ed|ing)?\b",
    re.IGNORECASE,
)
READ_ALOUD = re.compile(r"\b(?:title|alt|placeholder|aria-label|value)=(\"[^\"]*\"|'[^']*')")
NOT_SHOWN = re.compile(
    r"{%\s*comment.*?endcomment\s*%}|{#.*?#}|<!--.*?-->|{%.*?%}|{{.*?}}|<[^>]*>", re.DOTALL
)


def is_text(path: Path) -> bool:
    """Say whether a person wrote the file: no picture, no script of somebody else's."""
    by_others = path.is_relative_to("registry/static/vendor")
    return not by_others and b"\0" not in (Path(__file__).parents[2] / path).read_bytes()


def foreign_words(text: str) -> list[str]:
    return FOREIGN.findall(ALLOWED.sub("", text))


def shown_text(template: str) -> str:
    """Return what a template shows or has read aloud, its tags and variables taken out."""
    attributes = " ".join(READ_ALOUD.findall(template))
    return NOT_SHOWN.sub(" ", template) + " " + NOT_SHOWN.sub(" ", attributes)


def avoided_words(template: str) -> Iterator[str]:
    yield from AVOIDED.findall(shown_text(template))


def test_no_file_tells_of_how_the_project_was_made():
    found = {
        str(p): words for p in project_files() if is_text(p) and (words := foreign_words(read(p)))
    }
    assert found == {}


def test_templates_use_the_words_of_the_trade():
    found = {
        str(path): words
        for path in files_under("registry", ".html")
        if (words := list(avoided_words(read(path))))
    }
    assert found == {}


@pytest.mark.parametrize(
    "text", ["the trans" + "cript", "see /wo" + "rk/main", "a vid" + "eo of it", "../sha" + "red/x"]
)
def test_a_foreign_word_is_found(text: str):
    assert len(foreign_words(text)) == 1


@pytest.mark.parametrize("text", ["framework/main", "image/png vid" + "eo/mp4", "seeded"])
def test_a_word_that_only_looks_foreign_is_let_be(text: str):
    assert foreign_words(text) == []


@pytest.mark.parametrize(
    "template",
    [
        "<p>Your assets</p>",
        "<p>Open tickets</p>",
        '<button aria-label="Report an issue">+</button>',
        "<p>Pavement health</p>",
        "<td>failed</td>",
    ],
)
def test_an_avoided_word_is_found(template: str):
    assert len(list(avoided_words(template))) == 1


@pytest.mark.parametrize(
    "template",
    [
        "<p>Number on the batch ticket</p>",
        "<p>Issued on</p>",
        "{# score of music #}{{ form.issue }}<p class='health'>It drains</p>",
        "<p>the health and safety plan</p>",
    ],
)
def test_words_in_another_sense_are_let_be(template: str):
    assert list(avoided_words(template)) == []
