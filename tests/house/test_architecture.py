"""Imports point one way, pure packages are pure, rows are fetched in one place."""

import ast
from collections.abc import Callable, Iterator

import pytest

from tests.house import rules
from tests.house.files import files_under, tree_of

MODULES = {rules.dotted(path): path for path in files_under("registry", ".py")}

Rule = Callable[[str, ast.Module], Iterator[str]]


def breaches(rule: Rule) -> list[str]:
    return [line for module, path in MODULES.items() for line in rule(module, tree_of(path))]


@pytest.mark.parametrize(
    "rule",
    [
        rules.wrong_imports,
        rules.hidden_imports,
        rules.impure_words,
        rules.blind_excepts,
        rules.bare_managers,
    ],
)
def test_every_module_keeps_the_rule(rule: Rule):
    found = breaches(rule)
    assert not found, "\n".join(found)


def test_no_module_has_a_name_without_an_edge():
    assert [line for module in MODULES for line in rules.edgeless_name(module)] == []


def test_every_exception_is_still_in_use():
    imports = {
        module: {rules.layer_of(t) for _, t in rules.imported_modules(module, tree_of(path))}
        for module, path in MODULES.items()
    }
    unused = [m for m, layers in rules.EXCEPTIONS.items() if not layers <= imports.get(m, set())]
    assert unused == []


@pytest.mark.parametrize(
    ("rule", "module", "text"),
    [
        (rules.wrong_imports, "registry.measuring.rates", "from registry.models import Pavement"),
        (rules.wrong_imports, "registry.models.defect", "import registry.actions.close"),
        (rules.wrong_imports, "registry.models.defect", "from ..views import home"),
        (rules.wrong_imports, "registry.models.defect", "from registry import access"),
        (rules.wrong_imports, "registry.management.commands.x", "from registry.views import home"),
        (rules.wrong_imports, "registry.odds.ends", ""),
        (rules.hidden_imports, "registry.views.home", "def f():\n    if 1:\n        import re"),
        (rules.impure_words, "registry.units", "from django.conf import settings"),
        (rules.impure_words, "registry.units", "import os.path"),
        (rules.impure_words, "registry.decline.fit", "import datetime\ndatetime.date.today()"),
        (rules.impure_words, "registry.decline.fit", "now = datetime.now(UTC)"),
        (rules.impure_words, "registry.decline.fit", "np.random.normal(0, 1)"),
        (rules.impure_words, "registry.decline.fit", "rng = np.random.default_rng()"),
        (rules.impure_words, "registry.decline.fit", "random.shuffle(rows)"),
        (rules.impure_words, "registry.drawing.svg", "Path('a').read_text()"),
        (rules.impure_words, "registry.drawing.svg", "open('a')"),
        (rules.blind_excepts, "registry.tasks", "try:\n    f()\nexcept Exception:\n    pass"),
        (rules.blind_excepts, "registry.tasks", "try:\n    f()\nexcept (OSError, Exception): ..."),
        (rules.blind_excepts, "registry.tasks", "try:\n    f()\nexcept:\n    pass"),
        (rules.bare_managers, "registry.views.home", "Pavement.objects.all()"),
    ],
)
def test_a_planted_breach_is_found(rule: Rule, module: str, text: str):
    assert len(list(rule(module, ast.parse(text)))) == 1


@pytest.mark.parametrize(
    ("rule", "module", "text"),
    [
        (rules.wrong_imports, "registry.views.home", "from registry import access, models"),
        (rules.wrong_imports, "registry.plan.panels", "from .points import Point"),
        (rules.impure_words, "registry.decline.fit", "rng = np.random.default_rng(seed)"),
        (rules.impure_words, "registry.decline.fit", "random.Random(seed).shuffle(rows)"),
        (rules.impure_words, "registry.actions.fit", "from django.db import transaction"),
        (rules.bare_managers, "registry.actions.close", "Defect.objects.get(pk=1)"),
        (rules.blind_excepts, "registry.tasks", "try:\n    f()\nexcept ValueError:\n    raise"),
    ],
)
def test_what_the_rules_allow_is_let_be(rule: Rule, module: str, text: str):
    assert list(rule(module, ast.parse(text))) == []


@pytest.mark.parametrize("name", sorted(rules.EDGELESS_NAMES))
def test_an_edgeless_name_is_found(name: str):
    assert list(rules.edgeless_name(f"registry.views.{name}"))
