"""Which step of a translation stands for which step of the tutorial, where it has not the same number of them.

A tutorial told in another language: its own prose on the same plans.
"""
from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from generator.findings import Finding, Span, finding
from generator.language.evaluation.application import did_you_mean
from generator.language.evaluation.evaluate import Evaluation
from generator.language.fences import prose_findings
from generator.language.front_matter import Credit, FrontMatter
from generator.language.source.document import check_photos, read_document, read_source
from generator.language.source.records import Document, InlineExpression, Prose, SourceStep
from generator.language.translated_front_matter import TranslatedFrontMatter, read_translated_front_matter
from generator.locale import LANGUAGES, Locale, locale_for
from generator.paper.records import Glue, Plan
from generator.tutorial.board_reach import board_notes
from generator.tutorial.checks.source import letters_not_in_font, typed_by_hand
from generator.tutorial.facts import (
    blanks_needed,
    box_facts,
    facts_of,
    finished_sizes,
    has_dome,
    how_they_differ,
)
from generator.tutorial.prose_evaluation import ProseEvaluator, plain_text
from generator.tutorial.records import Step, Tutorial
from generator.tutorial.tools_and_cautions import cautions_for, tools_of


def aligned_steps(source: Sequence[SourceStep],
                  other: Sequence[SourceStep]) -> list[tuple[int | None, int | None]]:
    """(place in the source, place in the translation) from the first step to the last; None for what has no partner.

    The titles are in two languages, so what tells steps apart is what their
    prose quotes. The way that leaves fewest alone, then pairs those that are
    most alike (a longest common sequence with weights).
    """
    if len(source) == len(other):
        return [(k, k) for k in range(len(source))]
    mine, theirs = [_quoted_expressions(s) for s in source], [_quoted_expressions(s) for s in other]
    best: dict[tuple[int, int], tuple[float, list]] = {}
    for i in range(len(mine), -1, -1):
        for j in range(len(theirs), -1, -1):
            best[i, j] = _best_alignment(i, j, mine, theirs, best)
    return best[0, 0][1]


def _best_alignment(i: int, j: int, mine: Sequence[frozenset], theirs: Sequence[frozenset],
                    best: dict) -> tuple[float, list]:
    ways = []
    if i < len(mine) and j < len(theirs):
        ways.append((best[i + 1, j + 1][0] + 1 + _similarity(mine[i], theirs[j]), (i, j), (i + 1, j + 1)))
    if i < len(mine):
        ways.append((best[i + 1, j][0], (i, None), (i + 1, j)))
    if j < len(theirs):
        ways.append((best[i, j + 1][0], (None, j), (i, j + 1)))
    if not ways:
        return 0.0, []
    score, pair, rest = max(ways, key=lambda way: way[0])
    return score, [pair, *best[rest][1]]


def _similarity(a: frozenset[str], b: frozenset[str]) -> float:
    """From 0 to 1; two steps that quote nothing are half alike."""
    return len(a & b) / len(a | b) if a | b else 0.5


def _quoted_expressions(step: SourceStep) -> frozenset[str]:
    return frozenset(_expression_texts(step))


def _expression_texts(step: SourceStep) -> Iterator[str]:
    for prose in (step.heading, *(block for block in step.blocks if isinstance(block, Prose))):
        yield from (" ".join(part.text.split()) for part in prose.parts if isinstance(part, InlineExpression))


TRANSLATION_FILE = re.compile(r"index\.([A-Za-z-]{1,12})\.md\Z")
OTHERWISE_REPORTED = frozenset({"fence-stray", "step-missing"})     # said in other words of a translation


@dataclass(frozen=True, slots=True)
class TranslationSource:
    """The text of one translation: its language, its file as findings name it, what was wrong with reading it."""

    code: str
    file: str
    text: str
    findings: tuple[Finding, ...] = ()


def translations_beside(path: Path, shown: str) -> tuple[TranslationSource, ...]:
    """All translations that lie beside a source."""
    found = []
    for each in sorted(path.parent.glob("index.*.md")):
        if match := TRANSLATION_FILE.match(each.name):
            file = shown.removesuffix(path.name) + each.name
            text, findings = read_source(each, file)
            found.append(TranslationSource(match[1].lower(), file, text or "", findings))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Translator:
    """What is known of the tutorial itself when its translations are read."""

    document: Document
    front: FrontMatter
    editions: Mapping[str, Evaluation]
    exists: Callable[[str], bool]

    def read(self, told: TranslationSource) -> tuple[Callable[[Tutorial], Tutorial] | None,
                                                     tuple[Finding, ...]]:
        """What makes the tutorial in this language out of the one in English, and everything that is wrong."""
        document, front, words, wrong = _read(told)
        if document is None:
            return None, wrong
        found = [*wrong, *check_photos(document, self.exists), *_fence_findings(document),
                 *typed_by_hand(document, self.editions[self.front.drawn_in]),
                 *_step_findings(self.document, document)]
        inlayer = ProseEvaluator(self.editions, self.front.drawn_in, words)
        intro = inlayer.prose(document.intro)
        steps = list(_translated_steps(inlayer, self.document, document, self.front.drawn_in))
        supplies = tuple(inlayer.prose(each) for each in front.supplies) if front else ()
        found += inlayer.findings
        if front is not None:
            found += [*_unknown_names(front, self.editions), *_missing_texts(front, self.front, document),
                      *_missing_names(front, self.editions[self.front.drawn_in].plan, words),
                      *letters_not_in_font(document, (front.title, *front.names.values()))]

        def make(tutorial: Tutorial) -> Tutorial:
            return _translated_tutorial(tutorial, document, front, words, intro, supplies, steps)
        return make if front is not None else None, tuple(found)


def unevaluated_findings(told: TranslationSource) -> tuple[Finding, ...]:
    """What is wrong with a translation, as far as it can be told while the tutorial itself cannot be read."""
    document, _, _, wrong = _read(told)
    return wrong if document is None else (*wrong, *_fence_findings(document), *prose_findings(document))


def _read(told: TranslationSource) -> tuple[Document | None, TranslatedFrontMatter | None, Locale | None,
                                            tuple[Finding, ...]]:
    if told.code not in LANGUAGES or told.code == "en":
        return None, None, None, (finding("translation-language", Span(told.file),
                                          f"“{told.code}” is not a language that pages "
                                          "have words for", f"there is {', '.join(c for c in LANGUAGES if c != 'en')}; a further "
                                          "one begins with its words in generator/locale"),)
    if not told.text:
        return None, None, None, told.findings
    document = read_document(told.file, told.text)
    front, wrong = read_translated_front_matter(document)
    words = locale_for(told.code).naming(front.names if front else {})
    return document, front, words, (*(f for f in document.findings if f.code not in OTHERWISE_REPORTED),
                                    *wrong)


def _fence_findings(document: Document) -> Iterator[Finding]:
    for fence in (*document.stray, *(fence for step in document.steps for fence in step.fences)):
        yield finding("translation-geometry",
                      Span(document.file, fence.first_line - 1, 1, len("```geometry")),
                      "a translation has no geometry of its own: it stands on that of the tutorial",
                      "take the fence out, and quote what it makes by its names")


def _step_findings(source: Document, document: Document) -> Iterator[Finding]:
    """Steps that are missing, or too many, each at the place where it would stand, or stands."""
    theirs = document.steps
    last = 0
    for mine, other in aligned_steps(source.steps, theirs):
        if other is None:
            step = source.steps[mine]
            at = theirs[last] if last < len(theirs) else None
            where = f"before “{at.title}”" if at else "at the end"
            span = _heading(document, at) if at else Span(document.file,
                                                          document.text.rstrip("\n").count("\n") + 1)
            yield finding("translation-steps", span, f"step {step.number} of the tutorial, “{step.title}” "
                          f"({Path(source.file).name}:{step.line}), is missing {where}: the tutorial has "
                          f"{len(source.steps)} steps, this has {len(theirs)}",
                          "write it here, with a heading ## of its own")
        elif mine is None:
            yield finding("translation-steps", _heading(document, theirs[other]),
                          f"“{theirs[other].title}” stands for no step of "
                          f"the tutorial: it has {len(source.steps)} steps, this has {len(theirs)}",
                          "put its text into a step that the tutorial has, or write the step there too")
        last = other + 1 if other is not None else last


def _heading(document: Document, step: SourceStep) -> Span:
    return Span(document.file, step.line, 1, len(step.title) + 3)


def _translated_steps(inlayer: ProseEvaluator, source: Document, document: Document,
                      drawn_in: str) -> Iterator[Step]:
    """The steps of the translation; measures are read as they are after the tutorial's own step."""
    number = 0
    for mine, other in aligned_steps(source.steps, document.steps):
        number = mine + 1 if mine is not None else number
        if other is not None:
            step = document.steps[other]
            heading = inlayer.prose(step.heading, number)
            yield Step(number, plain_text(heading, drawn_in), "", step.line,
                       inlayer.blocks(step.blocks, number), False, heading)


def _unknown_names(front: TranslatedFrontMatter, editions: Mapping[str, Evaluation]) -> Iterator[Finding]:
    known = {name for edition in editions.values() for name in edition.names}
    shown = {name for edition in editions.values() for name in _shown_names(edition.plan)}
    # of what a part gave, "rim.front", also "front"
    known |= shown | {name.rpartition(".")[2] for name in shown}
    for name, span in front.spans.items():
        if name not in known:
            yield finding("name-unknown", span, f"the tutorial makes nothing of the name '{name}'",
                          did_you_mean(name, known, "take it out"))


def _missing_texts(front: TranslatedFrontMatter, source: FrontMatter,
                   document: Document) -> Iterator[Finding]:
    """What the tutorial says in words of its front matter has to be said here too."""
    start = Span(document.file, 1, 1, 3)
    if source.summary and not front.summary:
        yield finding("front-value", start, "this translation has no summary",
                      "say in one sentence what comes out")
    if len(source.supplies) != len(front.supplies):
        yield finding("front-value", start,
                      f"the tutorial lists {len(source.supplies)} supplies, this translation "
                      f"{len(front.supplies)}", "list the same under supplies:, in the same order")
    if (source.holds is not None and source.holds.what) and not front.holds:
        yield finding("front-value", start,
                      f"the tutorial says what goes in, “{source.holds.what}”, and this translation does not",
                      "write holds: and the words for it")


def _missing_names(front: TranslatedFrontMatter, plan: Plan, words: Locale) -> Iterator[Finding]:
    """Names that pictures and cards show to readers, and that have no words in this language."""
    lacking = [name for name in _shown_names(plan) if name not in words.names
               and name.rpartition(".")[2] not in words.names]
    if lacking:
        yield finding("translation-names", front.names_span,
                      "pictures and cards show these names as they stand in the "
                      f"source: {', '.join(lacking)}",
                      "say under names: what each is called in this language")


def _shown_names(plan: Plan) -> tuple[str, ...]:
    """All names that pictures and cards show to readers: of pieces, papers, marks and glued faces."""
    shown = dict.fromkeys(info.name for info in plan.pieces)
    shown |= dict.fromkeys(info.paper.name for info in plan.pieces if info.paper is not None)
    shown |= dict.fromkeys(mark.name for info in plan.pieces for mark in plan.state(info.id).marks
                           if mark.name)
    shown |= dict.fromkeys(face.name for act in plan.acts if isinstance(act.detail, Glue)
                           for face in (*act.detail.faces, *act.detail.target) if face.name)
    return tuple(name for name in shown if name)


def _translated_tutorial(tutorial: Tutorial, document: Document, front: TranslatedFrontMatter, words: Locale,
                         intro: tuple, supplies: tuple,
          steps: Sequence[Step]) -> Tutorial:
    """The tutorial with everything that is said in it said anew; anchors stay, so that links fit in every language."""
    plans, source = tutorial.plans, tutorial.front
    credit = Credit(*(getattr(front.credit, key) or getattr(source.credit, key)
                      for key in Credit.__dataclass_fields__))
    holds = replace(source.holds,
                    what=front.holds) if source.holds is not None and front.holds else source.holds
    own = replace(source, title=front.title, summary=front.summary, credit=credit, holds=holds)
    retold = tuple(replace(step, anchor=original.anchor, has_picture=original.has_picture,
                           notes=board_notes(plans, tutorial.benches, step.number, words))
                   for step, original in zip(steps, tutorial.steps, strict=True))
    return replace(
        tutorial, file=document.file, front=own, locale=words, intro=intro, steps=retold,
        facts=facts_of(plans, words, finished_sizes(tutorial.folds, words),
                       box_facts(own, plans, tutorial.folds, words),
                       has_dome(tutorial.folds)),
        supplies=(*blanks_needed(plans, words), *supplies), tools=tools_of(tutorial.drawn, words),
        cautions=cautions_for(tutorial.drawn, source.uses, words),
        differ=how_they_differ(plans, tutorial.drawn_in, words),
        findings=())
