"""DEVELOPERS.md says what is there: rooms, arrows, libraries, files; every code is raised and explained."""
from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Iterator
from functools import cache

from packaging.requirements import Requirement

from generator.findings.codes import CODES
from generator.findings.explanations import explanations
from tests.house import imports as house
from tests.house.test_imports import MAY_IMPORT
from tests.house.tracked_files import ROOT

PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
CODES_FILE = ROOT / "generator" / "findings" / "codes.py"
CODE_FILES = [path for path in house.modules().values() if path != CODES_FILE]
RAISERS = {"finding", "finding_error", "QuantityError"}


def section(title: str, page: str = PAGE) -> str:
    """The text below a ``##`` heading, up to the next one."""
    parts = re.split(r"^## (.+)$", page, flags=re.M)
    return dict(zip(parts[1::2], parts[2::2], strict=True))[title]


def rows(text: str) -> dict[str, list[str]]:
    """The rows of a table whose first cell is code: that cell without its quotes → the other cells."""
    cells = [[cell.strip() for cell in line.strip("| ").split(" | ")] for line in text.split("\n")
             if line.startswith("| `")]
    return {row[0].strip("`"): row[1:] for row in cells}


def _first_parameter(function: ast.FunctionDef) -> str | None:
    names = [a.arg for a in function.args.posonlyargs + function.args.args if a.arg not in ("self", "cls")]
    return names[0] if names else None


def _defined(tree: ast.AST) -> set[str]:
    """The functions of a file whose first argument is the code of a finding."""
    return {node.name for node in ast.walk(tree)
            if isinstance(node, ast.FunctionDef) and _first_parameter(node) == "code"}


@cache
def public_raisers() -> set[str]:
    """The functions of the package whose first argument is the code of a finding."""
    return RAISERS | {name for path in CODE_FILES for name in _defined(house.tree_of(path))
                      if not name.startswith("_")}


def codes_in(tree: ast.AST, raisers: set[str]) -> Iterator[tuple[int, str]]:
    """(line, code) wherever a call hands on a code that is written out."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        called = getattr(node.func, "id", getattr(node.func, "attr", ""))
        given = list(node.args[:1]) if called in raisers else []
        given += [k.value for k in node.keywords if k.arg == "code"]
        yield from ((a.lineno, a.value) for a in given if isinstance(a, ast.Constant)
                    and isinstance(a.value, str))


def test_every_code_is_explained():
    """What foldgauge explain prints: each code of the list and no other, with words on what mends it."""
    assert set(explanations()) == set(CODES)
    for each in explanations().values():
        assert each.mend.endswith(".") and len(each.mend.split()) > 5, each.code
        assert each.severity in ("error", "warning") and each.meaning.endswith("."), each.code


def test_every_code_that_is_raised_is_on_the_list():
    """A misspelt code would end the build with a traceback, and only when its problem comes up."""
    wrong = [f"{path.relative_to(ROOT)}:{line}: {code}" for path in CODE_FILES
             for tree in [house.tree_of(path)]
             for line, code in codes_in(tree, public_raisers() | _defined(tree)) if code not in CODES]
    assert not wrong, "\n".join(wrong)


def test_every_code_on_the_list_can_come_up():
    """A code that nothing raises is a check that was forgotten, or taken out by halves."""
    written = {node.value for path in CODE_FILES for node in ast.walk(house.tree_of(path))
               if isinstance(node, ast.Constant) and isinstance(node.value, str)}
    assert set(CODES) <= written, sorted(set(CODES) - written)


def test_every_room_is_described():
    """The table of rooms has a row for each folder of the generator, and no other."""
    described = {room for room, cells in rows(section("The rooms")).items() if all(cells)}
    assert described == {house.room_of(name) for name in house.modules()} - {None}


def test_the_arrows_are_those_that_imports_keep():
    """Whoever is left of an arrow, and nobody else, may be imported by whoever is right of it."""
    line = next(line for line in section("The rooms").split("\n") if line.startswith("    dataclass"))
    stages = [set(re.findall(r"\w+", stage)) for stage in line.split("→")]
    allowed = {room: set().union(*stages[:place]) for place, stage in enumerate(stages) for room in stage}
    allowed["drawing"] -= {"language", "sheets"}    # it draws plans and folded paper, whatever they came from
    allowed["regauge"] -= {"folding"}               # it is handed what folding finds
    assert allowed == MAY_IMPORT


def test_the_files_that_recipes_name_are_there():
    """A path within the package, with or without its first folder, names a file or a folder."""
    named = set(re.findall(r"`([\w.]+/[\w./]*)`", PAGE))
    roots = (ROOT, ROOT / "generator")
    missing = [name for name in named if not any((root / name).exists() for root in roots)]
    assert len(named) > 30 and set(missing) <= {"parts/", ".foldgauge/"}, sorted(missing)


def test_the_page_is_short():
    """At most 12 kB: what explains one file stands in its docstring."""
    assert len(PAGE.encode()) <= 12_000


def test_every_library_has_its_reason():
    """Each library that pyproject.toml names stands in the table with why it is there, and no other does."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = project["dependencies"] + project["optional-dependencies"]["test"]
    reasons = rows(section("What it stands on"))
    assert set(reasons) == {Requirement(text).name for text in wanted}
    assert all(len(cells[0].split()) > 2 for cells in reasons.values())


def test_these_checks_can_fail():
    """A made-up file with a misspelt code is seen, through a helper of its own too."""
    tree = ast.parse(
        "def _note(code, text): ...\n_note('off-gird', 'x')\nfinding_error('no-such', s, 'x')\nsay('area')\n")
    assert list(codes_in(tree, RAISERS | _defined(tree))) == [(2, "off-gird"), (3, "no-such")]
    assert rows("| `a` | error | One, two. |\n| b | c |\n") == {"a": ["error", "One, two."]}
