"""Work out the expressions of the prose in both editions."""
from __future__ import annotations

from collections.abc import Iterable, Mapping

from generator.findings import Finding, FindingError
from generator.language.evaluation.editions import merge_findings
from generator.language.evaluation.evaluate import Evaluation
from generator.language.evaluation.registry import DependentFailure
from generator.language.source import records as source
from generator.language.syntax.nodes import Attribute, Expr
from generator.language.syntax.parser import parse_expression
from generator.locale import ENGLISH, Locale
from generator.tutorial.records import ComputedValue, MeasureWording, Photo, Prose, ProsePart
from generator.units import other_system

FINE_PROPERTIES = ("thickness",)      # properties worded to the hundredth of a millimetre


class ProseEvaluator:
    """Turns prose of the source into prose with measures; ``findings`` collects what is wrong."""

    def __init__(self, editions: Mapping[str, Evaluation], drawn_in: str, locale: Locale = ENGLISH):
        self.editions, self.locale = editions, locale
        self.order = (drawn_in, other_system(drawn_in))
        self.findings: list[Finding] = []

    def prose(self, prose: source.Prose, step: int = 0) -> Prose:
        """The parts of one stretch of prose, which stands in ``step`` (0: before the first)."""
        made: list[ProsePart] = []
        for part in prose.parts:
            if isinstance(part, source.MarkdownText):
                made.append(part.text)
            elif (inlay := self._inlay(part, step)) is not None:
                made.append(inlay)
        return tuple(made)

    def blocks(self, blocks: Iterable[source.Block], step: int = 0) -> Prose:
        """Prose and photos of a step, its fences left out."""
        made: list[ProsePart] = []
        for block in blocks:
            if isinstance(block, source.Prose):
                made.extend(self.prose(block, step))
            elif isinstance(block, source.SourcePhoto):
                made.append(Photo(block.src, block.alt, block.title, block.span))
        return tuple(made)

    def _inlay(self, part: source.InlineExpression, step: int) -> ComputedValue | None:
        expr, findings = parse_expression(part.text, part.span)
        self.findings.extend(findings)
        if expr is None:
            return None
        said, wrong, broken = {}, {system: [] for system in self.order}, False
        for system in self.order:
            try:
                said[system] = self.editions[system].word(expr, thickness=_is_fine(expr), step=step,
                                                          locale=self.locale)
            except FindingError as trouble:
                wrong[system].extend(trouble.findings)
            except DependentFailure:
                broken = True
        self.findings.extend(merge_findings(*((s, tuple(wrong[s])) for s in self.order)))
        if broken or len(said) < 2:
            return None
        first, second = (said[system] for system in self.order)
        shared = not (first.measure or second.measure) and first.text == second.text
        return ComputedValue(part.text.strip(), part.span,
                     {system: MeasureWording(s.text, s.speech, s.html) for system, s in said.items()}, shared)


def _is_fine(expr: Expr) -> bool:
    return isinstance(expr, Attribute) and expr.name in FINE_PROPERTIES


def plain_text(prose: Prose, system: str) -> str:
    """Prose as plain text with the measures of one edition."""
    return "".join(part if isinstance(part, str) else part.wordings[system].text
                   if isinstance(part, ComputedValue) else ""
                   for part in prose)
