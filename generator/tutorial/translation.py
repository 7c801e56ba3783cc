"""A tutorial in another language: its own prose on the same plans."""
from __future__ import annotations

from collections.abc import Callable, Container, Iterator, Mapping, Sequence
from pathlib import Path

from generator.dataclass import dataclass, fields, replace
from generator.findings import Finding, Span, finding
from generator.language.evaluation.editions import Editions
from generator.language.evaluation.evaluate import ProseContext
from generator.language.fences import prose_findings
from generator.language.front_matter import Credit, FrontMatter
from generator.language.source.document import check_photos, read_document, read_source
from generator.language.source.files_beside import TRANSLATION_FILE
from generator.language.source.records import Document, InlineExpression, SourceStep
from generator.language.translated_front_matter import TranslatedFrontMatter, read_translated_front_matter
from generator.locale import ENGLISH, LANGUAGES, Locale, locale_for
from generator.tutorial.board_reach import board_notes
from generator.tutorial.facts import (
    blanks_needed,
    box_facts,
    facts_of,
    how_they_differ,
)
from generator.tutorial.followed_words import HEAD, stale_findings, stale_places, words_digests
from generator.tutorial.prose_evaluation import WordedProse, word_prose
from generator.tutorial.records import Tutorial
from generator.tutorial.source_checks import (
    letters_not_in_font,
    typed_by_hand,
    unknown_names,
    untranslated_names,
)
from generator.tutorial.stale_photos import captioned
from generator.tutorial.tools_and_cautions import cautions_for, tool_need, tools_needed

Alignment = list[tuple[int | None, int | None]]     # places in the source and in the translation


def aligned_steps(source: Sequence[SourceStep], other: Sequence[SourceStep]) -> Alignment:
    """Which steps stand for each other, from the first to the last; None for what has no partner.

    The titles are in two languages, so what tells steps apart is what their
    prose quotes. The way that leaves fewest alone, then pairs those that are
    most alike (a longest common sequence with weights).
    """
    if len(source) == len(other):
        return [(k, k) for k in range(len(source))]
    mine, theirs = [_quoted_expressions(s) for s in source], [_quoted_expressions(s) for s in other]
    best: dict[tuple[int, int], tuple[float, Alignment]] = {}
    for i in range(len(mine), -1, -1):
        for j in range(len(theirs), -1, -1):
            best[i, j] = _best_alignment(i, j, mine, theirs, best)
    return best[0, 0][1]


def _best_alignment(i: int, j: int, mine: Sequence[frozenset[str]], theirs: Sequence[frozenset[str]],
                    best: Mapping[tuple[int, int], tuple[float, Alignment]]) -> tuple[float, Alignment]:
    ways: list[tuple[float, tuple[int | None, int | None], tuple[int, int]]] = []
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
    for prose in step.words:
        yield from (" ".join(part.text.split()) for part in prose.parts if isinstance(part, InlineExpression))


OTHERWISE_REPORTED = frozenset({"fence-stray", "step-missing"})     # said in other words of a translation


@dataclass(frozen=True, slots=True)
class TranslationSource:
    """The text of one translation, its language, its file, and what kept it from being read."""

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
class ParsedTranslation:
    """A translation as it is written; ``front`` is None where its front matter cannot be read."""

    document: Document
    front: TranslatedFrontMatter | None
    locale: Locale
    findings: tuple[Finding, ...]

    def unevaluated_findings(self) -> tuple[Finding, ...]:
        """All that can be told while the tutorial itself cannot be read."""
        return (*self.findings, *prose_findings(self.document))


@dataclass(frozen=True, slots=True)
class Translation:
    """A translation with its prose worded, and everything that is wrong with it.

    ``stale`` are the places whose words have changed since, as ``followed_words`` has them.
    """

    parsed: ParsedTranslation
    prose: WordedProse
    findings: tuple[Finding, ...]
    stale: frozenset[int] = frozenset()


def read_translation(source: TranslationSource) -> tuple[ParsedTranslation | None, tuple[Finding, ...]]:
    """A translation as it is written, or what keeps it from being read."""
    if source.code not in LANGUAGES or source.code == ENGLISH.code:
        others = ", ".join(code for code in LANGUAGES if code != ENGLISH.code)
        return None, (finding("translation-language", Span(source.file),
                              f"“{source.code}” is not a language that pages have words for",
                              f"there is {others}; a further one begins with its words in generator/locale"),)
    if not source.text:
        return None, source.findings
    document = read_document(source.file, source.text)
    front, wrong = read_translated_front_matter(document)
    locale = locale_for(source.code).naming(front.names if front else {})
    reported = (f for f in document.findings if f.code not in OTHERWISE_REPORTED)
    return ParsedTranslation(document, front, locale, (*reported, *wrong, *_fence_findings(document))), ()


def word_translation(parsed: ParsedTranslation, original: Document, front: FrontMatter, editions: Editions,
                     contexts: Mapping[str, ProseContext], exists: Callable[[str], bool]) -> Translation:
    """The prose of a translation on the plans of the ``original``; ``exists`` is asked for photos."""
    document, own = parsed.document, parsed.front
    drawn = editions.evaluations[front.drawn_in]
    prose = word_prose(document.intro, own.supplies if own else (), _numbered_steps(original, document),
                       contexts, parsed.locale)
    findings = [*parsed.findings, *check_photos(document, exists), *typed_by_hand(document, drawn),
                *_step_findings(original, document), *prose.findings]
    stale = stale_places(own.follows if own else (), words_digests(original, front))
    findings += stale_findings(stale, original, document, Path(original.file).parent.name)
    if own is not None:
        findings += [*unknown_names(own.spans, editions), *_missing_texts(own, front, document),
                     *untranslated_names(drawn.plan, parsed.locale, own.names_span),
                     *letters_not_in_font(document, (own.title, *own.names.values()))]
    return Translation(parsed, prose, tuple(findings), stale)


def translated_tutorial(tutorial: Tutorial, translation: Translation) -> Tutorial:
    """The tutorial in the language of a sound translation; anchors stay, so that links fit every language."""
    parsed, source = translation.parsed, tutorial.front
    own = parsed.front
    assert own is not None      # else there is an error
    credit = Credit(*(getattr(own.credit, each.name) or getattr(source.credit, each.name)
                      for each in fields(Credit)))
    holds = replace(source.holds, what=own.holds) if source.holds is not None and own.holds else source.holds
    front = replace(source, title=own.title, summary=own.summary, credit=credit, holds=holds)
    steps = tuple(replace(step, anchor=original.anchor, has_picture=original.has_picture)
                  for step, original in zip(translation.prose.steps, tutorial.steps, strict=True))
    told = in_language(replace(tutorial, front=front, file=parsed.document.file, locale=parsed.locale),
                       replace(translation.prose, steps=steps))
    return _with_stale_noted(told, translation.stale) if translation.stale else told


def _with_stale_noted(tutorial: Tutorial, stale: Container[int]) -> Tutorial:
    """The same, with a note at each place of which the English words have changed."""
    note, head = (tutorial.locale.say(f"tutorial.stale.{place}") for place in ("step", "head"))
    return replace(tutorial, intro=(f"{head}\n\n", *tutorial.intro) if HEAD in stale else tutorial.intro,
                   steps=tuple(replace(step, notes=((note,), *step.notes)) if step.number in stale else step
                               for step in tutorial.steps))


def in_language(tutorial: Tutorial, prose: WordedProse) -> Tutorial:
    """The tutorial with all that readers read, in the language of its locale: ``prose``, and all besides."""
    plans, folds, locale = tutorial.plans, tutorial.folds, tutorial.locale
    # a translation needs the tools of the tutorial, whatever it calls them
    tools = [each.word for each in tutorial.tools] or tools_needed(tutorial.drawn, prose.steps, locale)
    return replace(
        tutorial, intro=captioned(prose.intro, tutorial.front, locale),
        supplies=(*blanks_needed(plans, locale), *prose.supplies),
        steps=tuple(replace(step, prose=captioned(step.prose, tutorial.front, locale),
                            notes=board_notes(plans, tutorial.benches, step.number, locale))
                    for step in prose.steps),
        facts=facts_of(plans, locale, folds, box_facts(tutorial.front, plans, folds, locale)),
        tools=tuple(tool_need(word, locale) for word in tools),
        cautions=cautions_for(tools, tutorial.front.uses, locale),
        differ=how_they_differ(plans, tutorial.drawn_in, locale, folds))


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
        if mine is not None and other is None:
            step = source.steps[mine]
            at = theirs[last] if last < len(theirs) else None
            where = f"before “{at.title}”" if at else "at the end"
            span = _heading(document, at) if at else Span(document.file,
                                                          document.text.rstrip("\n").count("\n") + 1)
            yield finding("translation-steps", span, f"step {step.number} of the tutorial, “{step.title}” "
                          f"({Path(source.file).name}:{step.line}), is missing {where}: the tutorial has "
                          f"{len(source.steps)} steps, this has {len(theirs)}",
                          "write it here, with a heading ## of its own")
        elif mine is None and other is not None:
            yield finding("translation-steps", _heading(document, theirs[other]),
                          f"“{theirs[other].title}” stands for no step of "
                          f"the tutorial: it has {len(source.steps)} steps, this has {len(theirs)}",
                          "put its text into a step that the tutorial has, or write the step there too")
        last = other + 1 if other is not None else last


def _heading(document: Document, step: SourceStep) -> Span:
    return Span(document.file, step.line, 1, len(step.title) + 3)


def _numbered_steps(original: Document, document: Document) -> Iterator[tuple[int, SourceStep]]:
    """The steps of the translation, each with the number of the tutorial's step that it stands for."""
    number = 0
    for mine, other in aligned_steps(original.steps, document.steps):
        number = mine + 1 if mine is not None else number
        if other is not None:
            yield number, document.steps[other]


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
