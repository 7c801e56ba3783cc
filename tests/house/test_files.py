"""The manners of the house: short files, short functions, nothing that names one machine."""
from __future__ import annotations

import ast
import json
import re
from pathlib import Path

import pytest

from tests.house.imports import tree_of
from tests.house.tracked_files import ROOT, texts, tracked

TOP_LEVEL = {"README.md", "DEVELOPERS.md", "mkdocs.yml", "tutorials", "generator", "theme", "tests",
             "pyproject.toml",
             "Makefile", "LICENSE", "CHANGELOG.md", ".ci", ".gitignore", ".gitattributes", ".editorconfig",
             "constraints.txt"}
LONGEST_FILE = 400
WRITING = {"write_text", "write_bytes", "NamedTemporaryFile", "mkstemp", "mkdtemp", "TemporaryFile",
           "hardlink_to",
           "symlink_to", "rename", "renames", "copyfile", "copy2", "copytree", "rmtree", "unlink",
           "rmdir",
           "truncate"}
# the folders that `new` has made for nothing
REMOVING = {"commands/new.py": "rmdir"}
LONGEST_FUNCTION = 60
PYTHON = [path for path in tracked() if path.suffix == ".py"]

# Folders of one machine, and the hosts a package came from; spelt so that this file does not match itself.
MACHINE = re.compile(r"(?<![\w.)}~-])/(?:work|root|tmp|home)(?:/[\w.]|\b(?=[\"'\s`]))")
REGISTRY = re.compile(r"https?://[^\s/\"']*(?:registry|pypi|pythonhosted|npmjs|mirror|proxy|artifact)", re.I)


def _said(path: Path, line: int, what: str) -> str:
    return f"{path.relative_to(ROOT)}:{line}: {what}"


def long_functions(tree: ast.Module) -> list[tuple[int, str, int]]:
    """(line, name, length) of every function that is too long."""
    return [(node.lineno, node.name, length) for node in ast.walk(tree)
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
            and (length := node.end_lineno - node.lineno + 1) > LONGEST_FUNCTION]


def undocumented(tree: ast.Module) -> bool:
    """True for a file that has code and no docstring of its own."""
    return bool(tree.body) and ast.get_docstring(tree) is None


def test_the_top_level_is_as_agreed():
    """Nothing else stands at the root of the project, and nothing of it is missing."""
    tops = {path.relative_to(ROOT).parts[0] for path in tracked()}
    assert tops == TOP_LEVEL, f"too many: {sorted(tops - TOP_LEVEL)}; missing: {sorted(TOP_LEVEL - tops)}"


def test_files_are_short():
    """A file of more than 400 lines holds more than one idea."""
    long = [_said(p, n, "lines") for p in PYTHON
            if (n := p.read_text(encoding="utf-8").count("\n")) > LONGEST_FILE]
    assert not long, "\n".join(long)


def test_functions_are_short():
    """A function of more than 60 lines does more than one thing."""
    long = [_said(path, line, f"{name} is {length} lines long") for path in PYTHON
            for line, name, length in long_functions(tree_of(path))]
    assert not long, "\n".join(long)


def test_every_file_says_what_it_is_for():
    """Each Python file begins with a docstring."""
    silent = [_said(path, 1, "no docstring") for path in PYTHON
              if undocumented(tree_of(path))]
    assert not silent, "\n".join(silent)


def test_every_test_says_what_it_promises():
    """The docstring of a test is the sentence that it keeps true."""
    silent = [_said(path, node.lineno, node.name) for path in PYTHON if path.name.startswith("test_")
              for node in ast.walk(tree_of(path))
              if isinstance(node, ast.FunctionDef) and node.name.startswith("test_")
              and not ast.get_docstring(node)]
    assert not silent, "\n".join(silent)


@pytest.mark.parametrize("pattern", [MACHINE, REGISTRY], ids=["folder", "registry"])
def test_nothing_names_one_machine(pattern):
    """No tracked file holds a folder of somebody's machine or the address of a package registry."""
    wrong = [_said(path, text[:found.start()].count("\n") + 1, found.group())
             for path, text in texts().items() if path != Path(__file__) for found in pattern.finditer(text)]
    assert not wrong, "\n".join(wrong)


def test_the_npm_lock_names_no_address():
    """The lock file of the page checkers fixes versions and contents, not where they are fetched."""
    lock = json.loads((ROOT / "tests/package-lock.json").read_text(encoding="utf-8"))
    packages = {name: entry for name, entry in lock["packages"].items() if name}
    assert packages and all("integrity" in entry for entry in packages.values())
    assert not [name for name, entry in packages.items() if "resolved" in entry]


def test_text_ends_its_lines_alike():
    """Columns and hashes count on line feeds, so no tracked text holds a carriage return."""
    wrong = [str(path.relative_to(ROOT)) for path in texts() if b"\r\n" in path.read_bytes()]
    assert not wrong, wrong


def writes(tree: ast.Module) -> list[tuple[int, str]]:
    """(line, what) of every call that writes, renames or removes on a disk."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = getattr(node.func, "attr", getattr(node.func, "id", ""))
            opened = name in ("open", "fdopen") and any(
                isinstance(said, ast.Constant) and isinstance(said.value, str)
                and re.fullmatch(r"[rwaxbt+]*[wax+][rwaxbt+]*", said.value)
                for said in (*node.args, *(word.value for word in node.keywords)))
            if opened or name in WRITING:
                found.append((node.lineno, name))
    return found


def test_one_room_alone_writes_files():
    """So that nothing is half written; what else removes something is named, and loses nothing by a kill."""
    wrong = [_said(path, line, name) for path in PYTHON if path.is_relative_to(ROOT / "generator")
             and not path.is_relative_to(ROOT / "generator" / "files")
             for line, name in writes(tree_of(path))
             if name != REMOVING.get(path.relative_to(ROOT / "generator").as_posix())]
    assert not wrong, "\n".join(wrong)


def test_these_checks_can_fail():
    """Each pattern and measure above finds a made-up fault, and lets a harmless line be."""
    for fault in ('open("/tmp/x")', "see /work/shared", "`/root`", "/home/anna/box.md"):
        assert MACHINE.search(fault), fault
    for harmless in ("generator/work/x.py", "https://example.org/tmp/x", "step/root of two", "</root>",
                     "a /workshop"):
        assert not MACHINE.search(harmless), harmless
    assert REGISTRY.search("https://registry.example.org/axe") and not REGISTRY.search(
        "https://example.org/registry")
    assert long_functions(ast.parse("def f():\n" + "    x = 1\n" * 60)) == [(1, "f", 61)]
    for fault in ("p.write_text('')", "open(p, 'w')", "p.open(mode='ab')", "os.fdopen(h, 'r+')",
                  "p.rename(q)"):
        assert writes(ast.parse(fault)), fault
    assert not writes(ast.parse("p.open('rb'); open(p); Image.open(path, formats=x); s.replace('a', 'b')"))
    assert undocumented(ast.parse("x = 1\n"))
    assert not any(undocumented(ast.parse(text)) for text in ("'''What.'''\nx = 1\n", ""))
