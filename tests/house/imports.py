"""Read the imports of the generator without running it."""
from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


@cache
def tree_of(path: Path) -> ast.Module:
    """The syntax tree of a file, read once for all tests."""
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


@cache
def nodes_of(path: Path) -> tuple[ast.AST, ...]:
    """All nodes of a file's syntax tree; walking it takes longer than reading it."""
    return tuple(ast.walk(tree_of(path)))


DYNAMIC = {"__import__", "import_module", "exec", "eval"}


@dataclass(frozen=True)
class Import:
    """``importer`` imports ``name`` of ``target`` (dotted, a file or a package) at ``line``.

    ``name`` is "" for a whole module; ``level`` counts leading dots.
    """

    importer: str
    target: str
    name: str
    line: int
    level: int
    inside: bool        # stands inside a function


def room_of(module: str) -> str | None:
    """The second part of "generator.room.file"; None for the package itself and for libraries."""
    parts = module.split(".")
    return parts[1] if parts[0] == "generator" and len(parts) > 1 else None


def module_name(path: Path, root: Path = ROOT) -> str:
    """The dotted name of a file of the package; a folder's __init__ has the name of the folder."""
    parts = path.relative_to(root).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def modules(root: Path = ROOT) -> dict[str, Path]:
    """Every module of the generator with its file."""
    return {module_name(path, root): path for path in sorted((root / "generator").rglob("*.py"))}


def _targets(node: ast.Import | ast.ImportFrom, known: Mapping[str, Path]) -> Iterator[tuple[str, str, int]]:
    if isinstance(node, ast.Import):
        for alias in node.names:
            yield alias.name, "", 0
        return
    for alias in node.names:
        whole = f"{node.module}.{alias.name}"
        yield (whole, "", node.level) if whole in known else (node.module or "", alias.name, node.level)


def imports_of(module: str, path: Path, known: Mapping[str, Path]) -> Iterator[Import]:
    """Every import of one file, those for type checkers and those inside functions included."""
    nodes = nodes_of(path)
    functions = [n for n in nodes if isinstance(n, ast.FunctionDef | ast.AsyncFunctionDef)]
    spans = [(f.lineno, f.end_lineno) for f in functions]
    for node in nodes:
        if isinstance(node, ast.Import | ast.ImportFrom):
            for target, name, level in _targets(node, known):
                yield Import(module, target, name, node.lineno, level,
                             any(first <= node.lineno <= last for first, last in spans))


def exported(path: Path) -> set[str]:
    """The names in ``__all__`` of a file; none where it has no such list."""
    for node in tree_of(path).body:
        if isinstance(node, ast.Assign) and any(getattr(t, "id", "") == "__all__" for t in node.targets):
            return set(ast.literal_eval(node.value))
    return set()


def dynamic_calls(path: Path) -> Iterator[int]:
    """Lines that import or run code by a name made at run time."""
    for node in nodes_of(path):
        if isinstance(node, ast.Call):
            name = getattr(node.func, "id", getattr(node.func, "attr", None))
            if name in DYNAMIC:
                yield node.lineno


def cycle(graph: Mapping[str, set[str]]) -> list[str]:
    """One cycle of a graph as the names along it, or [] when there is none."""
    done: set[str] = set()

    def walk(node: str, trail: list[str]) -> list[str]:
        if node in trail:
            return trail[trail.index(node):] + [node]
        if node in done:
            return []
        for following in sorted(graph.get(node, ())):
            found = walk(following, trail + [node])
            if found:
                return found
        done.add(node)
        return []

    return next(filter(None, (walk(node, []) for node in sorted(graph))), [])
