"""The rules of the house that a syntax tree can show. Each yields its breaches, in words."""

import ast
from collections.abc import Iterator
from pathlib import PurePath

UNITS = {"units", "unit_table", "numerals", "instants", "clock_hours"}
PURE = UNITS | {
    "measuring", "decline", "planning", "placing", "plan", "drawing", "imaging", "defects",
    "faults", "moves", "agenda", "dossier",
}  # fmt: skip

# Layer -> the layers it may import from, itself always included.
MAY_IMPORT: dict[str, set[str]] = {
    **dict.fromkeys(PURE, PURE),
    "models": PURE,
    "once": set(),  # answers of one page
    "access": {"models", "once", *PURE},
    "gathering": {"models", "once", *PURE},  # rows read into what the pure packages take
    "actions": {"gathering", "models", *PURE},
    # What a form of a defect asks for follows from its kind, so its words are the rules' own.
    "forms": {"models", "faults", "defects", *UNITS},
    "sheets": {"gathering", "models", *PURE},
    "exchange": {"gathering", "models", *PURE},
    "api": {"access", "actions", "gathering", "models", "faults"},
    "views": {"access", "actions", "forms", "gathering", "sheets", "models", *PURE},
    "commands": {"actions", "demo", "exchange", "gathering", "models", "faults", *UNITS},
    # The demonstration town: tables of fixtures written by the actions, for one command alone.
    "demo": {"actions", "gathering", "models", *PURE},
    "templatetags": {"gathering", "models", *PURE},
    "tasks": {"actions"},
    "checks": {"models"},
    "": set(),  # registry/__init__.py
    "management": set(),
    "environment": set(),
    "log_words": set(),
    "settings": {"environment"},
    "apps": {"checks"},
    "sign_in": {"access", "actions", "forms", "models"},
    "urls": {"views", "api", "placing_urls"},
    "placing_urls": {"views"},  # the part of the map that made `urls` too long
    "wsgi": set(),
    "migrations": {"models"},
}
# Modules that must reach further than their layer, each with the reason.
EXCEPTIONS: dict[str, set[str]] = {
    # It prints the very sheet that the page prints; no action may draw.
    "registry.management.commands.print_sheet": {"sheets"},
    # Reading a spreadsheet is the gathering step of bringing it in, by command and in background.
    "registry.actions.import_records": {"exchange"},
    "registry.actions.work_on_import": {"exchange"},
    "registry.actions.store_defect_rows": {"exchange"},
    # A dossier is gathered in the background, as the person who asked for it sees the record.
    "registry.actions.make_dossier": {"access", "exchange", "sheets"},
    # The page gives out the very files that the command writes.
    "registry.views.export": {"exchange"},
    "registry.views.defect_list": {"exchange"},
    "registry.views.due": {"exchange"},
    "registry.views.crew_day": {"exchange"},
    "registry.views.placing_years": {"exchange"},
}

EDGELESS_NAMES = {"utils", "helpers", "common", "base", "core", "misc"}
IMPURE_MODULES = {
    "django", "environ", "logging", "os", "requests", "shutil", "socket", "sqlite3", "subprocess",
    "tempfile", "threading", "time", "urllib",
}  # fmt: skip
CLOCK_READS = {"now", "utcnow", "today"}
FILE_WORDS = {"read_text", "read_bytes", "write_text", "write_bytes"}
SEEDED = {"Random", "default_rng", "Generator", "SeedSequence", "PCG64"}


def layer_of(module: str) -> str:
    """Return the layer of a dotted module: registry.views.defect -> views."""
    parts = module.split(".")
    if parts[1:3] == ["management", "commands"]:
        return "commands"
    return parts[1] if len(parts) > 1 else ""


def wrong_imports(module: str, tree: ast.Module) -> Iterator[str]:
    """Imports against the one way that layers may know each other."""
    layer = layer_of(module)
    if layer not in MAY_IMPORT:
        yield f"{module}: no layer named {layer!r}; add it to MAY_IMPORT"
        return
    allowed = {layer, ""} | MAY_IMPORT[layer] | EXCEPTIONS.get(module, set())
    for line, target in imported_modules(module, tree):
        if target.split(".")[0] == "registry" and layer_of(target) not in allowed:
            yield f"{module}:{line}: {layer} may not import {target}"


def imported_modules(module: str, tree: ast.Module) -> Iterator[tuple[int, str]]:
    """Yield (line, absolute dotted name) of each import, `from registry import units` included."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            parent = node.module or ""
            if node.level:
                above = module.split(".")[: -node.level]
                parent = ".".join([*above, parent] if parent else above)
            if parent == "registry":
                yield from ((node.lineno, f"registry.{alias.name}") for alias in node.names)
            else:
                yield node.lineno, parent


def hidden_imports(module: str, tree: ast.Module) -> Iterator[str]:
    """Imports inside a function: they hide a cycle."""
    for function in functions(tree):
        for node in ast.walk(function):
            if isinstance(node, ast.Import | ast.ImportFrom):
                yield f"{module}:{node.lineno}: import inside {function.name}"


def impure_words(module: str, tree: ast.Module) -> Iterator[str]:
    """In a pure package: Django, the clock, files, settings and unseeded random numbers."""
    if layer_of(module) not in PURE:
        return
    for line, target in imported_modules(module, tree):
        if target.split(".")[0] in IMPURE_MODULES:
            yield f"{module}:{line}: a pure package may not import {target}"
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and (word := _impure_call(node)):
            yield f"{module}:{node.lineno}: a pure package may not call {word}"


def _impure_call(node: ast.Call) -> str | None:
    name = ast.unparse(node.func)
    *before, last = name.split(".")
    if name in {"open", "print", "input"} or (before and last in FILE_WORDS):
        return name
    if before and last in CLOCK_READS and {"datetime", "date", "Timestamp", "np"} & set(before):
        return name
    if before[-1:] == ["random"] and last not in SEEDED:
        return f"{name}, whose state is the module's"
    if last in {"default_rng", "Random"} and not (node.args or node.keywords):
        return f"{name} without a seed"
    return None


def blind_excepts(module: str, tree: ast.Module) -> Iterator[str]:
    """`except Exception` and wider: a mistake of ours would pass for bad input."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ExceptHandler):
            caught = ast.unparse(node.type) if node.type else "everything"
            if {"Exception", "BaseException", "everything"} & set(caught.strip("()").split(", ")):
                yield f"{module}:{node.lineno}: catches {caught}"


def bare_managers(module: str, tree: ast.Module) -> Iterator[str]:
    """`.objects` in views or api: rows are fetched through access alone."""
    if layer_of(module) not in {"views", "api"}:
        return
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and node.attr in {
            "objects", "_default_manager", "_base_manager",
        }:  # fmt: skip
            yield f"{module}:{node.lineno}: .{node.attr} outside access"


def edgeless_name(module: str) -> Iterator[str]:
    """A module name that says nothing of what belongs in it."""
    if EDGELESS_NAMES & set(module.split(".")):
        yield f"{module}: says nothing of what belongs in it"


def long_functions(module: str, tree: ast.Module, limit: int) -> Iterator[str]:
    """Functions of more than `limit` lines, from `def` to the last."""
    for function in functions(tree):
        lines = lines_of(function)
        if lines > limit:
            yield f"{module}:{function.lineno}: {function.name} has {lines} lines, limit {limit}"


def long_views(module: str, tree: ast.Module, limit: int) -> Iterator[str]:
    """Functions of views/ that take a request and have more than `limit` lines."""
    if layer_of(module) != "views":
        return
    for function in functions(tree):
        arguments = [argument.arg for argument in function.args.args]
        if arguments[:1] == ["request"] and lines_of(function) > limit:
            yield f"{module}:{function.lineno}: {function.name} has over {limit} lines"


def functions(tree: ast.Module) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node


def lines_of(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    return (function.end_lineno or function.lineno) - function.lineno + 1


def dotted(path: PurePath) -> str:
    """Return the module of a file: registry/views/defect.py -> registry.views.defect."""
    parts = path.with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
