"""Boxes for tests of folding, in the language of tutorials, and ways to fold them."""
from __future__ import annotations

from functools import cache
from pathlib import Path

from generator.folding import FoldedPlan, fold
from generator.language.evaluation.editions import evaluate_edition
from generator.language.fences import read_fences
from generator.language.front_matter import read_front_matter
from generator.language.source.document import read_document
from generator.paper.records import Plan
from generator.paper.verbs import VOCABULARY
from generator.units import default_bench
from tests.paper.statement_evaluation import made

BENCHES = {system: default_bench(system) for system in ("mm", "in")}
ROOT = Path(__file__).resolve().parents[2]

PRISM = """
strip  = sheet(width=sides*panel + tab, height=wall)
lines  = score(strip, x=every(panel, sides))
fold(lines, mountain)
walls  = faces(strip, x=lines.bays, y=bottom..top)
flap   = faces(strip, x=lines.last..right, y=bottom..top)
glue(flap, under=walls.first)
"""

TRAY = """
slant = hypot(splay, rise)
tray  = panel(rectangle(width=long, height=short))
walls = attach(tray.edges, trapezoid(top=tray.edges.length + 2*splay, height=slant))
corners = seam(walls.edges.each[4], rotated(walls.edges.each[2]))
fold(walls.hinge, mountain)
"""

CROWN = """
strip  = sheet(width=sides*panel + tab, height=wall + crown)
lines  = score(strip, x=every(panel, sides))
brim   = score(strip, y=wall)
remove(strip, x=lines.last..right, y=brim..top)
slants = score(strip, line(at(lines.bays.left, brim), at(lines.bays.middle, top)),
                      line(at(lines.bays.middle, top), at(lines.bays.right, brim)))
fold(lines, mountain, y=bottom..brim)
fold(lines, valley, y=brim..top)
fold(brim, mountain)
fold(slants, mountain)
walls  = faces(strip, x=lines.bays, y=bottom..brim)
flap   = faces(strip, x=lines.last..right, y=bottom..brim)
glue(flap, under=walls.first)
gather(strip)
"""


def folded(text: str, counts: dict[str, int] | None = None, **mm: object) -> FoldedPlan:
    """Statements worked and folded."""
    return fold(made(text, counts, **mm).plan)


def codes(done: FoldedPlan) -> list[str]:
    """The codes of what was found."""
    return [f.code for f in done.findings]


def source(name: str) -> str:
    """A small tutorial of the tests, or the published caddy, as it is or with a crown of straight folds."""
    if name in ("published", "straight"):
        text = (ROOT / "tutorials" / "tea-caddy" / "index.md").read_text(encoding="utf-8")
        return straightened(text) if name == "straight" else text
    return (ROOT / "tests" / "sources" / f"{name}.md").read_text(encoding="utf-8")


def straightened(text: str) -> str:
    """The caddy with its curves made straight and its shoulder folded."""
    return changed(text, ("curves = peaked_curves(strip, bays, low=shoulder, high=top, bulge=bulge)",
                          "curves = gusset_triangles(strip, bays, low=shoulder, high=top)"),
                   ("shoulder  = score(strip, y=foot + wall, keep=flat)",
                    "shoulder  = score(strip, y=foot + wall)"),
                   ("petals  = fold(curves, mountain)",
                    "petals  = fold(curves, mountain)\nbrim    = fold(shoulder, mountain)"))


def changed(text: str, *changes: tuple[str, str]) -> str:
    """A source with some of its words replaced; each must stand in it."""
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text


def plan_of(text: str, system: str | None = None) -> Plan:
    """The plan of a whole source in one edition, the one that was drawn if none is named."""
    document = read_document("box.md", text)
    front, _ = read_front_matter(document, VOCABULARY)
    steps = [(step.number, statements) for step, statements in read_fences(document).steps]
    done = evaluate_edition(front, steps, system or front.drawn_in)
    assert not done.findings, done.findings
    return done.plan


@cache
def found(text: str) -> list[tuple[str, str]]:
    """(code, the line of the source) of everything that folding finds in the edition that was drawn."""
    rows = text.split("\n")
    return [(f.code, rows[f.line - 1].strip()) for f in fold(plan_of(text)).findings]
