"""The recipes of DEVELOPERS.md followed in a copy of the package: what each adds, and where."""
from __future__ import annotations

import re
import shutil
from pathlib import Path

from tests.house.tracked_files import ROOT

WORDS = "locale/words"
CALL = '''

def ruled(builder: PlanBuilder, piece: PieceArg, *, x: Lines) -> Marks:
    """Scores that guide the eye."""
    return _line_marks(builder, piece, "score", (), x, None, None, None, True)
'''
MARK_CALL = '''

def nick(builder: PlanBuilder, piece: PieceArg, *, x: Lines) -> Marks:
    """Nicks along a line."""
    return _line_marks(builder, piece, "nick", (), x, None, None, None)
'''
SHAPE = '''

def square(context: CallContext, *, side: Length) -> Outline:
    """A square."""
    return rectangle(context, width=side, height=side)
'''
PART = '''\
---
help: Score a sheet once, for a spine.
takes:
  blank: piece — the sheet
  across: length — how far from the left
gives:
  spine: the score
---

It stands upright.

```geometry
spine = score(blank, x=across)
```
'''
FAMILY = '''\
---
help: A strip that is scored once.
asks:
  panel: how wide it is to the score
follows:
  wall: 2*panel — up on the board
---

---
title: TITLE
summary: A strip.
drawn_in: mm
lengths: {panel: 30 mm, wall: 60 mm}
editions: {in: {panel: 1 1/4 in, wall: 2 1/2 in}}
---

## Score it

Score at {{ panel }}, {{ wall }} high.

```geometry
strip = sheet(width=2*panel, height=wall)
lines = score(strip, x=panel, keep=flat)
```
'''
PLAN_CHECK = '''

def plain_plans(plan: Plan) -> Iterator[Finding]:
    """A warning for each sheet that says no paper."""
    for piece in plan.pieces:
        if piece.paper is None:
            yield finding("paper-unsaid", piece.span, f"'{piece.name}' has no paper", "name one")
'''
FEATURE = '''\
"""Panels that no fold reaches."""
from __future__ import annotations

from generator.folding.piece_context import PieceContext


def panel_count(case: PieceContext) -> int:
    """How many panels a piece has."""
    return len(case.folded.flat.panels)
'''
FOLDED_CHECK = '''\
"""A box of few panels."""
from __future__ import annotations

from collections.abc import Iterator

from generator.findings import Finding, finding
from generator.folding.features.panel_counts import panel_count
from generator.folding.piece_context import PieceContext


def panel_findings(case: PieceContext) -> Iterator[Finding]:
    """A warning for a piece of fewer than four panels."""
    if panel_count(case) < 4:
        yield finding("panels-few", case.info.span, f"{panel_count(case)} panels", "add some")
'''
BACK_END = '''\
"""A back end that keeps the words."""
from __future__ import annotations

from generator.drawing.pen import Label, Pen


class WordsPen(Pen):
    """Notes the words of a picture, in order."""

    def __init__(self) -> None:
        self.words: list[str] = []

    def label(self, label: Label) -> None:
        self.words.append(str(label.words))

    def nothing(self, *given: object) -> None: ...

    begin = end = area = stroke = face = contour = hole = dimension = leader = badge = symbol = nothing
'''
COMMAND = '''\
"""foldgauge greet: an example of a command."""
from __future__ import annotations

import click


@click.command()
def greet() -> None:
    """Greet whoever folds."""
    click.echo("good folding")
'''


class Copy:
    """A copy of the package in a folder, to which the recipes are applied."""

    def __init__(self, folder: Path) -> None:
        self.root = folder / "generator"
        shutil.copytree(ROOT / "generator", self.root, ignore=shutil.ignore_patterns("__pycache__"))

    def write(self, name: str, text: str) -> None:
        """A new file; a recipe never writes over one."""
        assert not (self.root / name).exists(), name
        (self.root / name).write_text(text, encoding="utf-8")

    def append(self, name: str, text: str) -> None:
        """More at the end of a file."""
        path = self.root / name
        path.write_text(path.read_text(encoding="utf-8").rstrip("\n") + "\n" + text, encoding="utf-8")

    def insert(self, name: str, after: str, text: str) -> None:
        """Text behind the one place of a file that a pattern finds."""
        path = self.root / name
        done, places = re.subn(after, lambda m: m[0] + text, path.read_text(encoding="utf-8"), flags=re.M)
        assert places == 1, f"{name}: {places} places of {after!r}"
        path.write_text(done, encoding="utf-8")


def follow(copy: Copy) -> None:
    """All recipes that add to the package, in the order of DEVELOPERS.md."""
    copy.append("paper/verbs/marks.py", CALL)
    copy.insert("paper/verbs/__init__.py", r"^MARKS = \(", "marks.ruled, marks.nick, ")
    copy.append("paper/shapes.py", SHAPE)
    copy.insert("paper/verbs/__init__.py", r"^OUTLINES = \(", "shapes.square, ")
    copy.insert("paper/work_kinds.py", r"^_MARKS = \(\n",
                '    MarkKind("nick", "perforate", "rule", "nick", folds=True, at_board=True),\n')
    copy.append("paper/verbs/marks.py", MARK_CALL)
    for language in ("en", "de"):
        for room in ("drawing", "templates"):
            path = copy.root / WORDS / language / f"{room}.yaml"
            path.write_text(re.sub(r"^  (curved_)?perforate: (.*)\n",
                                   lambda m: f"{m[0]}  {m[1] or ''}nick: {m[2]}\n",
                                   path.read_text(encoding="utf-8"), flags=re.M), encoding="utf-8")
        copy.append(f"{WORDS}/{language}/website.yaml", f'greeting: "Good folding, {{name}} ({language})"\n')
    shutil.copytree(copy.root / WORDS / "en", copy.root / WORDS / "nl")
    copy.insert(f"{WORDS}/nl/website.yaml", r'^greeting: "', "Goed vouwen! ")
    copy.write("parts/spine_score.md", PART)
    copy.write("families/strip.md", FAMILY)
    for code in ("paper-unsaid", "panels-few"):
        copy.insert("findings/codes.py", r"^CODES: .*\{\n", f'    "{code}": Code("warning", "A recipe."),\n')
        copy.append("findings/explained/design.yaml", f"{code}:\n  mend: Follow the recipe of {code}.\n")
    copy.append("tutorial/plan_checks.py", PLAN_CHECK)
    copy.insert("tutorial/plan_checks.py", r"\*spoiled_areas\(drawn.plan\), ", "*plain_plans(drawn.plan), ")
    copy.write("folding/features/panel_counts.py", FEATURE)
    copy.write("folding/checks/panel_counts.py", FOLDED_CHECK)
    copy.insert("folding/whole.py", r"^from generator.folding.piece_context import PieceContext\n",
                "from generator.folding.checks.panel_counts import panel_findings\n")
    copy.insert("folding/whole.py", r"^FOLDED_CHECKS = \(", "panel_findings, ")
    copy.write("drawing/backends/words.py", BACK_END)
    copy.write("commands/greet.py", COMMAND)
    copy.insert("commands/main.py", r"^COMMANDS = \{\n", '    "greet": "Greet whoever folds.",\n')
    copy.insert("commands/main.py", r"^    match name:\n",
                '        case "greet":\n            from generator.commands.greet import greet as command\n')
