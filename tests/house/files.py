"""The files that belong to the project: those in git, and those not yet added but not ignored."""

import ast
import subprocess
from functools import cache
from pathlib import Path

TOP = Path(__file__).resolve().parents[2]


@cache
def project_files() -> tuple[Path, ...]:
    """Return every file of the project, relative to the top."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
        cwd=TOP,
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    paths = (Path(name) for name in listed.split("\0") if name)
    return tuple(sorted(path for path in set(paths) if (TOP / path).is_file()))


def files_under(folder: str, suffix: str) -> list[Path]:
    """Return the project's files below a folder that end in the suffix, relative to the top."""
    return [p for p in project_files() if p.is_relative_to(folder) and p.suffix == suffix]


def read(path: Path) -> str:
    return (TOP / path).read_text(encoding="utf-8")


@cache
def tree_of(path: Path) -> ast.Module:
    """Return a file's syntax tree, parsed once for all rules; they change nothing in it."""
    return ast.parse(read(path))
