"""From a source file to an evaluated tutorial, with everything that is wrong with it in one run."""
from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, MutableMapping, Sequence
from pathlib import Path

from generator.dataclass import dataclass, replace
from generator.findings import (
    Finding,
    FindingError,
    Span,
    capped_findings,
    gathered_findings,
    has_errors,
    stage,
)
from generator.language.build_log import WITHOUT_LOG, LogSource, log_beside
from generator.language.evaluation.editions import Editions, evaluate_both
from generator.language.evaluation.evaluate import ProseContext
from generator.language.fences import ParsedFences, empty_steps, prose_findings, read_fences
from generator.language.front_matter import FrontMatter, read_front_matter
from generator.language.parts import Parts, site_parts
from generator.language.source.document import check_photos, normalized_text, read_document, read_source
from generator.language.source.portable_names import folder_name_findings, holds_file
from generator.language.source.records import Document
from generator.language.syntax.nodes import names_in
from generator.locale import ENGLISH
from generator.paper.records import Plan
from generator.paper.verbs import RESERVED_NAMES
from generator.tutorial.folded_editions import FoldedEditions, fold_editions
from generator.tutorial.folded_values import FoldedValues
from generator.tutorial.made_boxes import boxes_of_plan, made_differently
from generator.tutorial.plan_checks import plan_findings
from generator.tutorial.prose_evaluation import WordedProse, word_prose
from generator.tutorial.records import LoadedSource, NameInfo, Step, Tutorial
from generator.tutorial.revision import revision_mark
from generator.tutorial.source_checks import (
    code_like_names,
    letters_not_in_font,
    paper_colours,
    typed_by_hand,
    unknown_names,
    unused_names,
)
from generator.tutorial.stale_photos import stale_photos
from generator.tutorial.suggested_lengths import with_front_matter_suggestions, with_suggestions
from generator.tutorial.translation import (
    ParsedTranslation,
    TranslationSource,
    in_language,
    read_translation,
    translated_tutorial,
    translations_beside,
    word_translation,
)
from generator.tutorial.work_budget import work_findings
from generator.units import Bench

# with one of these some words were not read, and they may use a name that nothing else uses
UNREAD_CODES = frozenset({"words-wrong", "sign-unknown", "braces-open", "fence-open", "fence-stray",
                          "too-deep",
                          "too-much"})


def load(path: Path | str, shown: str | None, benches: Mapping[str, Bench],
         cache: MutableMapping[str, bytes] | None = None, folds: bool = True) -> LoadedSource:
    """Load one source. ``shown`` is how findings name the file.

    Photos and translations are looked for beside it, parts beside its folder. What takes long to work out is
    kept in ``cache``. Without ``folds`` the tutorial has plans and names alone: nothing is folded or worded.
    """
    path = Path(path)
    shown = shown or str(path)
    text, findings = read_source(path, shown)
    if text is None:
        return LoadedSource(None, findings, "")
    try:
        with stage("reading the parts of the site", Span(shown)):
            parts, wrong = site_parts(path)
    except FindingError as failed:
        parts, wrong = {}, failed.findings
    if wrong:
        return LoadedSource(None, wrong, text)
    loaded = load_text(text, shown, benches, slug=path.parent.name,
                       exists=lambda src: holds_file(path.parent, src), parts=parts,
                       translations=translations_beside(path, shown), cache=cache, folds=folds,
                       log=log_beside(path, shown))
    unnamed = tuple(folder_name_findings(path.parent.name, shown)) if path.name == "index.md" else ()
    return replace(loaded, tutorial=None, findings=(*unnamed, *loaded.findings)) if unnamed else loaded


def load_text(text: str, shown: str, benches: Mapping[str, Bench], slug: str = "tutorial",
              exists: Callable[[str], bool] = lambda _: True, parts: Parts | None = None,
              translations: Sequence[TranslationSource] = (),
              cache: MutableMapping[str, bytes] | None = None, folds: bool = True,
              log: LogSource = WITHOUT_LOG) -> LoadedSource:
    """As :func:`load`, from the text of a source; ``parts`` are those of its site.

    Nothing is raised: an error that nobody foresaw is a finding that names its stage.
    """
    text = normalized_text(text)
    try:
        return _loaded(text, shown, benches, slug, exists, parts, translations, cache, folds,
                       log)
    except FindingError as failed:
        return LoadedSource(None, failed.findings, text,
                            texts={each.file: each.text for each in translations})


def _loaded(text: str, shown: str, benches: Mapping[str, Bench], slug: str, exists: Callable[[str], bool],
            parts: Parts | None, translations: Sequence[TranslationSource],
            cache: MutableMapping[str, bytes] | None, folds: bool, log: LogSource) -> LoadedSource:
    at = Span(shown)
    with stage("reading the source", at):
        source = _parsed(read_document(shown, text, parts), exists)
        parsed = {each.code: read_translation(each) for each in translations}
    texts = {each.file: each.text for each in translations} | ({log.file: log.text} if log.text else {})
    front = source.front
    if front is None:
        with stage("reading what its front matter left", at):
            found = (*_unevaluated_findings(source, benches, parsed.values()), *log.findings)
        return LoadedSource(None, found, text, texts=texts)
    with stage("working out the paper", at):
        editions = evaluate_both(front, source.fences.statements, source.fences.unread_names)
        sound = (*source.findings, *log.findings, *editions.findings, *stale_photos(front, source.document),
                 *paper_colours(front),
                 *letters_not_in_font(source.document, (
                     front.title, *editions.evaluations[front.drawn_in].names, *front.names.values())),
                 *plan_findings(front, source.fences.statements, editions, benches))
        if not has_errors(sound):
            sound += tuple(work_findings(editions.plans.values(), 1 + len(parsed)))
    if not folds:
        unfolded = None if has_errors(sound) else _unworded(slug, source, front, editions, benches)
        return LoadedSource(unfolded, capped_findings(list(sound)), text, texts=texts)
    with stage("folding the box", at):
        # a plan with errors is not yet the one that would be folded
        folded = FoldedEditions() if has_errors(sound) else fold_editions(front, editions.plans, cache)
    with stage("wording the prose", at):
        contexts = _prose_contexts(front, editions, folded)
        prose = word_prose(source.document.intro, front.supplies,
                           ((step.number, step) for step in source.document.steps), contexts)
        worded = {code: word_translation(each, source.document, front, editions, contexts, exists)
                  for code, (each, _) in parsed.items() if each is not None}
        worked_out = (*sound, *folded.findings, *made_differently(log.log, editions.plans, folded.plans))
        findings = _all_findings(source, front, editions, benches, worked_out, prose)
        ordered = capped_findings(gathered_findings([
            *findings, *(f for _, wrong in parsed.values() for f in wrong),
            *(f for each in worded.values() for f in each.findings)]))
    if has_errors(ordered):
        return LoadedSource(None, ordered, text, texts=texts)
    with stage("putting its steps together", at):
        tutorial = replace(_assembled(slug, source, front, editions, benches, folded, prose),
                           made=boxes_of_plan(log.log, editions.plans))
        translated = {code: translated_tutorial(tutorial, each) for code, each in worded.items()}
    return LoadedSource(tutorial, ordered, text, translated, texts)


@dataclass(frozen=True, slots=True)
class _ParsedSource:
    """A source as it is written; ``front`` is None where its front matter cannot be read."""

    document: Document
    front: FrontMatter | None
    fences: ParsedFences
    findings: tuple[Finding, ...]


def _parsed(document: Document, exists: Callable[[str], bool]) -> _ParsedSource:
    front, wrong = read_front_matter(document, RESERVED_NAMES)
    fences = read_fences(document)
    return _ParsedSource(document, front, fences, (
        *document.findings, *check_photos(document, exists), *wrong, *fences.findings,
        *empty_steps(document, fences)))


def _unevaluated_findings(source: _ParsedSource, benches: Mapping[str, Bench],
                          parsed: Iterable[tuple[ParsedTranslation | None, tuple[Finding, ...]]],
                          ) -> tuple[Finding, ...]:
    """All that can be told of a source whose front matter cannot be read."""
    document = source.document
    return capped_findings(gathered_findings([
        *with_front_matter_suggestions(document, source.fences, source.findings, benches),
        *prose_findings(document),
        *(f for each, wrong in parsed for f in (wrong if each is None else each.unevaluated_findings()))]))


def _prose_contexts(front: FrontMatter, editions: Editions,
                    folded: FoldedEditions) -> dict[str, ProseContext]:
    """What the prose of both editions is worded from."""
    return {system: ProseContext(edition, FoldedValues(edition.plan, folded.plans[system], front)
                                 if system in folded.plans else None)
            for system, edition in editions.evaluations.items()}


def _all_findings(source: _ParsedSource, front: FrontMatter, editions: Editions, benches: Mapping[str, Bench],
                  found: Sequence[Finding], prose: WordedProse) -> list[Finding]:
    """What was ``found`` and what is wrong with the prose, with values that would mend the other edition."""
    document, statements = source.document, source.fences.statements
    drawn = editions.evaluations[front.drawn_in]
    findings = [*found, *prose.findings, *typed_by_hand(document, drawn),
                *unknown_names(front.names_at, editions)]
    if not any(f.code in UNREAD_CODES for f in findings):
        findings += unused_names(document, front, [s for _, each in statements for s in each], drawn)
    if not has_errors(findings):
        findings += code_like_names(front, drawn.plan)
    return with_suggestions(findings, front, statements, drawn.plan, benches)


def _assembled(slug: str, source: _ParsedSource, front: FrontMatter, editions: Editions,
               benches: Mapping[str, Bench], folded: FoldedEditions, prose: WordedProse) -> Tutorial:
    tutorial = replace(_unworded(slug, source, front, editions, benches), folds=folded.plans)
    pictured = tuple(replace(step, has_picture=_leaves_trace(tutorial.drawn, step.number))
                     for step in prose.steps)
    return in_language(tutorial, replace(prose, steps=tuple(_anchored(pictured))))


def _unworded(slug: str, source: _ParsedSource, front: FrontMatter, editions: Editions,
              benches: Mapping[str, Bench]) -> Tutorial:
    plans = editions.plans
    return Tutorial(slug, source.document.file, front, plans, _name_infos(editions, source.fences), benches,
                    {system: revision_mark(plan) for system, plan in plans.items()}, {},
                    ENGLISH.naming(front.names))


def _leaves_trace(plan: Plan, step: int) -> bool:
    """Whether a step leaves something to be seen; sums, requirements and named faces leave none."""
    return any(act.kind.leaves_trace for act in plan.acts_of(step))


def _anchored(steps: Iterable[Step]) -> Iterator[Step]:
    """Each step with an anchor that outlives its number: of its title, with a number where two are alike."""
    taken: Counter[str] = Counter()
    for step in steps:
        base = anchor(step.title) or "step"
        taken[base] += 1
        yield replace(step, anchor=base if taken[base] == 1 else f"{base}-{taken[base]}")


def anchor(title: str) -> str:
    """A title as a link's name: plain small letters and hyphens."""
    letters = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", letters).strip("-")


def _name_infos(editions: Editions, fences: ParsedFences) -> dict[str, NameInfo]:
    by_system = {system: edition.names for system, edition in editions.evaluations.items()}
    uses = {s.name: names_in(s.value) for _, statements in fences.statements for s in statements if s.name}
    return {name: NameInfo(name, b.text, b.span, b.step,
                           {system: names[name].value for system, names in by_system.items()},
                           uses.get(name, ()))
            for name, b in next(iter(by_system.values())).items()
            if all(name in names for names in by_system.values())}
