"""The project as files: what the tests of the house read."""

from __future__ import annotations

import ast
import subprocess
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "windowcast"


def project_files() -> list[Path]:
    """Every file that is, or would be, in the repository."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        check=True,
    ).stdout
    paths = {ROOT / name for name in listed.decode().split("\0") if name}
    return sorted(path for path in paths if path.is_file())


def modules(*rooms: str) -> list[Path]:
    """Python files of the package, or only those of some rooms such as "science" or "advise"."""
    roots = [PACKAGE / room for room in rooms] or [PACKAGE]
    found = [p for root in roots for p in (*root.rglob("*.py"), root.with_suffix(".py"))]
    return sorted(path for path in found if path.is_file())


@lru_cache(maxsize=1024)
def tree(path: Path) -> ast.Module:
    """The syntax tree of a Python file."""
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


def room(path: Path) -> str:
    """The room of a module: "science" for windowcast/science/sun.py, "units" for units.py."""
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


def named(path: Path) -> str:
    """A path as people say it, from the top of the project."""
    return path.relative_to(ROOT).as_posix()


Definition = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


def definitions(node: ast.AST, prefix: str = "") -> Iterator[tuple[str, Definition]]:
    """(dotted name, node) of functions, classes and methods, those inside functions left out."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, Definition):
            yield prefix + child.name, child
        if isinstance(child, ast.ClassDef):
            yield from definitions(child, f"{prefix}{child.name}.")
        elif isinstance(child, ast.If | ast.Try):
            yield from definitions(child, prefix)


def is_public(dotted: str) -> bool:
    """Whether no part of a dotted name begins with an underscore."""
    return not any(part.startswith("_") for part in dotted.split("."))
