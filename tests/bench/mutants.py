"""What share of faults put into a room its tests find (mutation testing; DeMillo, Lipton and Sayward 1978).

Run as ``python tests/bench/mutants.py [--count N] [--seed N] [--seconds N] [--only TEXT] [ROOM …]``.
A mutant is one change inside a function: a comparison turned round, plus for minus, times for divided by,
a number one larger, ``not`` taken away, ``and`` for ``or``, least for greatest, nothing returned. A sample
is drawn by lot, each is tried in a process of its own against those tests of the room that reach the
function, and the share that some test finds is printed with the mutants that none does. What stands outside
functions is not changed, nor are words.

Neither mutmut nor cosmic-ray fits: the one lacks wheels for Windows and older Macs, the other changes the
files in place and starts all tests anew for each mutant. This needs ``os.fork`` too, but no library.
"""
from __future__ import annotations

import argparse
import ast
import contextlib
import functools
import gc
import hashlib
import io
import json
import os
import random
import resource
import signal
import sys
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from types import CodeType, FrameType, FunctionType

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))     # before what is of the project is imported

import pytest  # noqa: E402

from generator.folding.whole import RECENT_DOMES  # noqa: E402

PATIENCE = 60       # seconds of processor after which a mutant counts as found: it never ends
# what is folded a hair otherwise is held against itself, which no mutant changes
QUIET = ("-q", "--no-header", "-p", "no:cacheprovider", "-m", "not slow",
         "--ignore=tests/folding/test_rounding.py")
FLIPPED: dict[type[ast.AST], type[ast.AST]] = {
    ast.Lt: ast.GtE, ast.GtE: ast.Lt, ast.Gt: ast.LtE, ast.LtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
    ast.And: ast.Or, ast.Or: ast.And,
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult, ast.Pow: ast.Mult, ast.BitAnd: ast.BitOr, ast.BitOr: ast.BitAnd, ast.USub: ast.UAdd}
OTHER_NAMES = {"min": "max", "max": "min", "any": "all", "all": "any", "sin": "cos", "cos": "sin",
               "minimum": "maximum", "maximum": "minimum", "argmin": "argmax", "argmax": "argmin"}
Unit = tuple[str, str, int]     # the file, the qualified name and the first line of a function
Change = tuple[str, Callable[[], object]]


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change of one function: ``place`` counts its nodes, ``change`` what may be done to the node."""

    unit: Unit
    place: int
    change: int
    line: int
    told: str

    def __str__(self) -> str:
        return f"{Path(self.unit[0]).relative_to(ROOT)}:{self.line} {self.unit[1]}: {self.told}"


def changes(node: ast.AST) -> Iterator[Change]:
    """What may be changed in a node, each with what it does to it."""
    for field in ("op", "ops"):
        ops = getattr(node, field, [])
        for k, op in enumerate(ops if isinstance(ops, list) else [ops]):
            if other := FLIPPED.get(type(op)):
                put = functools.partial(ops.__setitem__, k) if isinstance(ops, list) else functools.partial(
                    setattr, node, field)
                yield f"{type(op).__name__} → {other.__name__}", functools.partial(put, other())
    match node:
        case ast.Constant(value=bool(value)):
            yield f"{value} → {not value}", functools.partial(setattr, node, "value", not value)
        case ast.Constant(value=int() | float() as value):
            yield f"{value} → {value + 1}", functools.partial(setattr, node, "value", value + 1)
        case ast.Return(value=ast.expr() as value) if getattr(value, "value", value) is not None:
            yield "returns None", functools.partial(setattr, node, "value", ast.Constant(None))
        case ast.UnaryOp(op=ast.Not(), operand=operand):
            twice = ast.UnaryOp(ast.Not(), operand)
            yield "not taken away", functools.partial(setattr, node, "operand", twice)
        case ast.If(test=test) | ast.IfExp(test=test) if not isinstance(test, ast.Compare | ast.UnaryOp):
            yield "the other branch", functools.partial(setattr, node, "test", ast.UnaryOp(ast.Not(), test))
        case ast.Name(id=name) if name in OTHER_NAMES:
            yield f"{name} → {OTHER_NAMES[name]}", functools.partial(setattr, node, "id", OTHER_NAMES[name])
        case ast.Attribute(attr=name) if name in OTHER_NAMES:
            yield f"{name} → {OTHER_NAMES[name]}", functools.partial(setattr, node, "attr", OTHER_NAMES[name])


def functions(body: list[ast.stmt], outer: str = "") -> Iterator[tuple[str, ast.FunctionDef]]:
    """The functions of a file and of its classes; what stands in a function belongs to it."""
    for each in body:
        if isinstance(each, ast.ClassDef):
            yield from functions(each.body, f"{outer}{each.name}.")
        elif isinstance(each, ast.FunctionDef):
            yield outer + each.name, each


def nodes(function: ast.FunctionDef) -> list[ast.AST]:
    """All nodes of a function but its decorators, defaults and annotations, which are no part of its code."""
    plain = [child for child in ast.walk(function) if isinstance(child, ast.AnnAssign | ast.arg)]
    words = {id(n) for each in plain if each.annotation for n in ast.walk(each.annotation)}
    return [node for statement in function.body for node in ast.walk(statement) if id(node) not in words]


def first_line(function: ast.FunctionDef) -> int:
    """Where its code begins: at its first decorator."""
    return min([function.lineno, *(each.lineno for each in function.decorator_list)])


def mutants_of(path: Path) -> Iterator[Mutant]:
    """All mutants of a file."""
    for name, function in functions(ast.parse(path.read_text(encoding="utf-8")).body):
        unit, line = (str(path), name, first_line(function)), function.lineno
        for place, node in enumerate(nodes(function)):
            line = getattr(node, "lineno", line)
            for k, (told, _) in enumerate(changes(node)):
                yield Mutant(unit, place, k, line, told)


def mutated_code(mutant: Mutant) -> CodeType:
    """The code of its function, changed."""
    file, name, line = mutant.unit
    tree = ast.parse(Path(file).read_text(encoding="utf-8"))
    function = next(f for n, f in functions(tree.body) if (n, first_line(f)) == (name, line))
    list(changes(nodes(function)[mutant.place]))[mutant.change][1]()
    return next(c for c in _codes(compile(ast.fix_missing_locations(tree), file, "exec"))
                if (c.co_qualname, c.co_firstlineno) == (name, line))


def _codes(code: CodeType) -> Iterator[CodeType]:
    yield code
    for each in code.co_consts:
        if isinstance(each, CodeType):
            yield from _codes(each)


def unit_of(code: CodeType) -> Unit:
    """By what the code of a function is known."""
    return code.co_filename, code.co_qualname, code.co_firstlineno


class Reached:
    """A plugin that writes down which functions each test reaches, and how long it takes.

    What fixtures reach counts for all tests of the file, since they may share them.
    """

    def __init__(self, watched: set[Unit]) -> None:
        self.codes = [code for code in _living_codes() if unit_of(code) in watched]
        self.units = {id(code): unit_of(code) for code in self.codes}
        self.by_test: dict[str, set[Unit]] = {}
        self.by_file: defaultdict[str, set[Unit]] = defaultdict(set)
        self.seconds: dict[str, float] = {}
        self.here: set[Unit] = set()

    def _called(self, frame: FrameType, event: str, _: object) -> None:
        if event == "call" and (unit := self.units.get(id(frame.f_code))):
            self.here.add(unit)

    def _watched(self, into: set[Unit]) -> Iterator[None]:
        """Watch what is called, after what was remembered has been forgotten."""
        RECENT_DOMES.clear()
        for each in gc.get_objects():
            if isinstance(each, functools._lru_cache_wrapper):
                each.cache_clear()
        self.here = into
        sys.setprofile(self._called)
        try:
            return (yield)
        finally:
            sys.setprofile(None)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_setup(self, item: pytest.Item) -> Iterator[None]:
        return (yield from self._watched(self.by_file[item.nodeid.split("::")[0]]))

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_call(self, item: pytest.Item) -> Iterator[None]:
        return (yield from self._watched(self.by_test.setdefault(item.nodeid, set())))

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.when == "call" and report.passed:
            self.seconds[report.nodeid] = report.duration

    def reaching(self) -> dict[str, list[str]]:
        """Function → the tests that reach it, the quickest first; of those that pass."""
        found = defaultdict(list)
        for test in sorted(self.seconds, key=self.seconds.__getitem__):
            for unit in self.by_test[test] | self.by_file[test.split("::")[0]]:
                found[json.dumps(unit)].append(test)
        return found


def _living_codes() -> list[CodeType]:
    return [each.__code__ for each in gc.get_objects() if isinstance(each, FunctionType)]


def apart(work: Callable[[], int], silent: bool) -> tuple[int, float]:
    """The status with which ``work`` ends in a process of its own, and the seconds that it took."""
    sys.stdout.flush()
    if not (child := os.fork()):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        for stream in (1, 2) if silent else ():
            os.dup2(nowhere, stream)
        status = 99
        try:
            status = work()
            sys.stdout.flush()
        finally:
            os._exit(status)
    _, status, used = os.wait4(child, 0)
    return os.waitstatus_to_exitcode(status), used.ru_utime + used.ru_stime


def tests_by_unit(paths: list[str], watched: set[Unit]) -> dict[str, list[str]]:
    """Function → the tests that reach it; kept as long as no program and no test changes."""
    sources = sorted([*(ROOT / "generator").rglob("*.py"), *(ROOT / "tests").rglob("*.py")])
    digest = hashlib.sha256(b"".join(each.read_bytes() for each in sources) + repr(paths).encode())
    kept = ROOT / ".foldgauge" / f"mutants-{digest.hexdigest()[:16]}.json"
    if not kept.exists():
        def record() -> int:
            plugin = Reached(watched)
            status = pytest.main([*QUIET, *paths], plugins=[plugin])
            kept.parent.mkdir(exist_ok=True)
            kept.write_text(json.dumps(plugin.reaching()), encoding="utf-8")
            return int(status)
        status, seconds = apart(record, silent=False)
        if status:
            print("tests that fail as it is are left out")
        print(f"found out which test reaches what in {seconds:.0f} s")
    return json.loads(kept.read_text(encoding="utf-8"))


def survives(mutant: Mutant, tests: list[str]) -> tuple[bool, float]:
    """Whether all these tests pass with the mutant in place, and the seconds that they took."""
    def tried() -> int:
        code = mutated_code(mutant)
        for each in gc.get_objects():
            if isinstance(each, FunctionType) and unit_of(each.__code__) == mutant.unit:
                each.__code__ = code
        resource.setrlimit(resource.RLIMIT_CPU, (PATIENCE + int(resource.getrusage(
            resource.RUSAGE_SELF).ru_utime), resource.RLIM_INFINITY))
        signal.signal(signal.SIGXCPU, signal.SIG_DFL)
        return int(pytest.main([*QUIET, "-x", *tests]))
    status, seconds = apart(tried, silent=True)
    return status == 0, seconds


def main() -> None:
    """Draw, try, print."""
    asked = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    asked.add_argument("rooms", nargs="*", default=["folding", "sheets"])
    asked.add_argument("--count", type=int, default=60, help="mutants to be tried")
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--seconds", type=float, default=600,
                       help="of processor; no mutant is begun after them")
    asked.add_argument("--only", default="", help="mutants whose line contains this, all of them")
    given = asked.parse_args()
    os.chdir(ROOT)
    paths = [f"tests/{room}" for room in given.rooms]
    every = [m for room in given.rooms for path in sorted((ROOT / "generator" / room).rglob("*.py"))
             for m in mutants_of(path)]
    chosen = ([m for m in every if given.only in str(m)] if given.only
              else random.Random(given.seed).sample(every, min(given.count, len(every))))
    with contextlib.redirect_stdout(io.StringIO()) as said:     # read once, for all that are tried
        status = pytest.main(["--collect-only", *QUIET, *paths])
    if status:
        raise SystemExit(said.getvalue())
    reaching = tests_by_unit(paths, {m.unit for m in every})
    found, left, spent = 0, [], 0.0
    for mutant in chosen:
        if spent > given.seconds:
            print(f"the time is up: {found + len(left)} of {len(chosen)} tried")
            break
        tests = reaching.get(json.dumps(mutant.unit), [])
        alive, seconds = survives(mutant, tests) if tests else (True, 0.0)
        spent += seconds
        if alive:
            left.append(f"{mutant}" + ("" if tests else " (no test reaches it)"))
            print(f"survives: {left[-1]}", flush=True)
        found += not alive
    tried = found + len(left)
    print(f"{found} of {tried} killed ({found / max(1, tried):.0%}), drawn from {len(every)} in "
          f"{' and '.join(given.rooms)}, seed {given.seed}, {spent:.0f} s of processor")


if __name__ == "__main__":
    main()
