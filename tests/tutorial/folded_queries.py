"""Folded boxes for tests of what is told of them: statements, worked, folded, and asked in one edition."""
from __future__ import annotations

from generator.findings import FindingError
from generator.folding import fold
from generator.language.evaluation.evaluate import ProseContext
from generator.language.front_matter import FrontMatter, read_front_matter
from generator.language.source.document import read_document
from generator.tutorial.folded_values import FoldedValues
from tests.paper.statement_evaluation import evaluated, text_of, value
from tests.tutorial.small_source import source

FRONT: FrontMatter = read_front_matter(read_document("box.md", source()))[0]
OPEN_BOX = """
box_  = panel(rectangle(width=long, height=short))
walls = attach(box_.edges, rectangle(height=rise))
seam(walls.edges.each[4], rotated(walls.edges.each[2]))
fold(walls.hinge, mountain)
"""
LACED = """
lace = ribbon(length=lace_length)
strip = sheet(width=sides*panel + tab, height=wall)
lines = score(strip, x=every(panel, sides))
fold(lines, mountain)
walls = faces(strip, x=lines.bays, y=bottom..top)
glue(faces(strip, x=lines.last..right, y=bottom..top), under=walls.first)
holes = punch(strip, x=lines.bays.middle, y=tab, diameter=hole, measured_from=top)
tied  = thread(lace, through=holes)
"""


def asked(text: str, counts: dict[str, int] | None = None, system: str = "mm", front: FrontMatter = FRONT,
          **mm: object) -> ProseContext:
    """Statements worked and folded, so that expressions may ask what folding tells."""
    done = evaluated(text, counts, system, **mm)
    assert not done.findings, done.findings
    return ProseContext(done, FoldedValues(done.plan, fold(done.plan), front))


def exact(done: ProseContext, expression: str) -> float:
    """The value itself, in mm to its power."""
    return float(value(done, expression).value)


def refused(done: ProseContext, expression: str) -> tuple[str, str, str]:
    """Code, message and hint of the one finding with which an expression is refused."""
    try:
        said = text_of(done, expression)
    except FindingError as trouble:
        found, = trouble.findings
        return found.code, found.message, found.hint
    raise AssertionError(f"{expression} gives {said}")
