"""Templates keep the content policy, and parts say what they take."""

import re
from pathlib import Path

import pytest

from tests.house.files import files_under, read

COMMENTS = re.compile(r"{%\s*comment.*?endcomment\s*%}|{#.*?#}|<!--.*?-->", re.DOTALL)
# Each of these the content policy would refuse in the browser, silently.
INLINE = re.compile(
    r"<style\b|\sstyle\s*=|<script\b(?![^>]*\bsrc=)|\son[a-z]+\s*=\s*[\"']|javascript:|https?://[^\s\"']+\.(?:js|css)\b",
    re.IGNORECASE,
)
DATA_BLOCK = re.compile(r"<script\b[^>]*\btype=[\"']application/(?:ld\+)?json[\"'][^>]*>")


def inline_code(template: str) -> list[str]:
    return INLINE.findall(DATA_BLOCK.sub("", COMMENTS.sub("", template)))


def says_what_it_takes(part: str) -> bool:
    first = part.lstrip().splitlines()[0] if part.strip() else ""
    return first.startswith(("{#", "{% comment"))


def is_part(path: Path) -> bool:
    return path.name.startswith("_")


def test_no_template_holds_inline_script_or_style():
    found = {
        str(path): code
        for path in files_under("registry", ".html")
        if (code := inline_code(read(path)))
    }
    assert found == {}


def test_every_part_says_what_it_takes():
    parts = [path for path in files_under("registry", ".html") if is_part(path)]
    assert [str(path) for path in parts if not says_what_it_takes(read(path))] == []


@pytest.mark.parametrize(
    "template",
    [
        "<style>p {}</style>",
        '<p style="color: red">',
        "<script>go()</script>",
        '<a onclick="go()">',
        '<a href="javascript:go()">',
        '<script src="https://example.org/x.js"></script>',
    ],
)
def test_inline_code_is_found(template: str):
    assert inline_code(template)


@pytest.mark.parametrize(
    "template",
    [
        '<script src="{% static "js/form.js" %}" type="module"></script>',
        "{# style= is not for us #}<p class='style'>",
        '<script type="application/json">{}</script>',
    ],
)
def test_what_the_policy_allows_is_let_be(template: str):
    assert inline_code(template) == []


def test_a_part_without_its_comment_is_found():
    assert says_what_it_takes("{# takes: spot, unit #}\n<p>")
    assert not says_what_it_takes("<p>{# takes: spot #}")
    assert not says_what_it_takes("")


def test_every_page_of_a_correction_keeps_on_the_device_what_was_typed():
    pages = {str(path): read(path) for path in files_under("registry", ".html")}
    shared = [name for name, text in pages.items() if "Store the correction" in text]
    assert [name.rpartition("/")[2] for name in shared] == ["_correction.html"]
    assert "data-keep-seen" in pages[shared[0]] and "keep_typed.js" in pages[shared[0]]
    correct = [n for n in pages if n.endswith(("/correct.html", "defect/look.html"))]
    assert len(correct) > 10
    assert [name for name in correct if "entry/_correction.html" not in pages[name]] == []
