"""Nothing grows past what can be read at one sitting."""

import ast
from pathlib import Path

import pytest

from tests.house import rules
from tests.house.files import files_under, read, tree_of

FUNCTION, VIEW = 60, 25
PAGE = 60


def limit_of(path: Path) -> int | None:
    """Return the most lines a file may have, or None where no limit is set."""
    if "migrations" in path.parts:
        return None
    if path.suffix == ".html":
        is_part = path.name.startswith("_") or path.name == "base.html"
        return 150 if is_part else PAGE
    if path.suffix == ".py":
        return 500 if path.parts[0] == "tests" else 400
    return None


def too_long(path: Path, text: str) -> bool:
    limit = limit_of(path)
    return limit is not None and len(text.splitlines()) > limit


def test_no_file_is_over_its_limit():
    paths = [
        *files_under("registry", ".py"),
        *files_under("tests", ".py"),
        *files_under("registry", ".html"),
    ]
    assert [str(path) for path in paths if too_long(path, read(path))] == []


def test_no_function_is_over_its_limit():
    breaches = []
    for path in files_under("registry", ".py") + files_under("tests", ".py"):
        tree, module = tree_of(path), rules.dotted(path)
        breaches += rules.long_functions(module, tree, FUNCTION)
        breaches += rules.long_views(module, tree, VIEW)
    assert breaches == []


@pytest.mark.parametrize(
    ("path", "limit"),
    [
        ("registry/models/pavement.py", 400),
        ("tests/models/test_pavement.py", 500),
        ("registry/templates/parts/_plan.html", 150),
        ("registry/templates/pavement/page.html", 60),
    ],
)
def test_one_line_over_is_too_long(path: str, limit: int):
    assert not too_long(Path(path), "x\n" * limit)
    assert too_long(Path(path), "x\n" * (limit + 1))


def test_a_long_function_is_found():
    just_fits = ast.parse("def f(request):\n" + "    x = 1\n" * 59)
    over = ast.parse("def f(request):\n" + "    x = 1\n" * 60)
    assert list(rules.long_functions("registry.units", just_fits, FUNCTION)) == []
    assert len(list(rules.long_functions("registry.units", over, FUNCTION))) == 1


def test_a_long_view_is_found():
    over = ast.parse("def f(request):\n" + "    x = 1\n" * 25)
    assert len(list(rules.long_views("registry.views.home", over, VIEW))) == 1
    assert list(rules.long_views("registry.models.home", over, VIEW)) == []
