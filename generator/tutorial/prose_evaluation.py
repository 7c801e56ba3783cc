"""Work out the expressions of the prose in both editions."""
from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from generator.dataclass import dataclass
from generator.findings import Finding, FindingError, stage_finding
from generator.language.evaluation.editions import merge_findings
from generator.language.evaluation.evaluate import ProseContext
from generator.language.evaluation.prose_wording import WordedValue
from generator.language.evaluation.registry import DependentFailure
from generator.language.source import records as source
from generator.language.syntax.nodes import Attribute, Expr
from generator.language.syntax.parser import parse_expression
from generator.locale import ENGLISH, Locale
from generator.tutorial.records import ComputedValue, MeasureWording, Photo, Prose, ProsePart, Step

_SENTENCE_END = re.compile(r"(?<=[.!?])\s+(?=[^\s\da-z])|\n\s*\n")
FINE_PROPERTIES = ("thickness",)      # properties worded to the hundredth of a millimetre


@dataclass(frozen=True, slots=True)
class WordedProse:
    """All prose of a source with its measures; ``steps`` have neither anchors nor notes yet."""

    intro: Prose
    supplies: tuple[Prose, ...]
    steps: tuple[Step, ...]
    findings: tuple[Finding, ...]


def word_prose(intro: source.Prose, supplies: Iterable[source.Prose],
               steps: Iterable[tuple[int, source.SourceStep]], contexts: Mapping[str, ProseContext],
               locale: Locale = ENGLISH) -> WordedProse:
    """Prose with its measures, by ``contexts`` of both systems, that of the drawn edition first.

    ``steps`` go by the number of the tutorial's step after which their measures are read.
    """
    writer = _ProseWriter(contexts, locale)
    return WordedProse(writer.prose(intro, 0), tuple(writer.prose(each, 0) for each in supplies),
                       tuple(writer.step(number, step) for number, step in steps), tuple(writer.findings))


class _ProseWriter:
    """Turns prose of the source into prose with measures; ``findings`` collects what is wrong."""

    def __init__(self, contexts: Mapping[str, ProseContext], locale: Locale):
        self.contexts, self.locale = contexts, locale
        self.findings: list[Finding] = []

    def step(self, number: int, step: source.SourceStep) -> Step:
        """One step, its fences left out."""
        heading = self.prose(step.heading, number)
        parts: list[ProsePart] = []
        for block in step.blocks:
            if isinstance(block, source.Prose):
                parts.extend(self.prose(block, number))
            elif isinstance(block, source.SourcePhoto):
                parts.append(Photo(block.src, block.alt, block.title, block.span))
        return Step(number, plain_text(heading, next(iter(self.contexts))), "", step.line, tuple(parts),
                    False, heading, short=self.prose(step.short, number))

    def prose(self, prose: source.Prose, step: int) -> Prose:
        """The parts of one stretch of prose, which stands in ``step`` (0: before the first)."""
        parts = (part.text if isinstance(part, source.MarkdownText) else self._computed_value(part, step)
                 for part in prose.parts)
        return tuple(part for part in parts if part is not None)

    def _computed_value(self, part: source.InlineExpression, step: int) -> ComputedValue | None:
        expr, findings = parse_expression(part.text, part.span)
        self.findings.extend(findings)
        if expr is None:
            return None
        worded: dict[str, WordedValue] = {}
        wrong: dict[str, tuple[Finding, ...]] = dict.fromkeys(self.contexts, ())
        for system, context in self.contexts.items():
            try:
                worded[system] = context.at(step).word(expr, _is_fine(expr), self.locale)
            except FindingError as error:
                wrong[system] = error.findings
            except DependentFailure:
                pass
            except Exception as error:
                wrong[system] = (stage_finding("wording this expression", part.span, error),)
        self.findings.extend(merge_findings(*wrong.items()))
        if len(worded) < len(self.contexts):
            return None
        first, second = worded.values()
        shared = not (first.measure or second.measure) and first.text == second.text
        return ComputedValue(part.text.strip(), part.span, {
            system: MeasureWording(w.text, w.speech, w.html) for system, w in worded.items()}, shared)


def _is_fine(expr: Expr) -> bool:
    return isinstance(expr, Attribute) and expr.name in FINE_PROPERTIES


def sentences(text: str) -> list[str]:
    """The sentences and paragraphs of a text; an abbreviation before a small letter or figure ends none."""
    return [each for each in _SENTENCE_END.split(text) if each]


def plain_text(prose: Prose, system: str) -> str:
    """Prose as plain text with the measures of one edition."""
    return "".join(part if isinstance(part, str)
                   else part.wordings[system].text if isinstance(part, ComputedValue) else ""
                   for part in prose)
