"""From a source file to an evaluated tutorial, with everything that is wrong with it in one run."""
from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Mapping, MutableMapping, Sequence
from dataclasses import replace
from pathlib import Path

from generator.findings import Finding, Severity, capped_findings, has_errors
from generator.folding import FoldedPlan
from generator.language.evaluation.editions import compare_editions, evaluate_both
from generator.language.evaluation.evaluate import Evaluation
from generator.language.fences import ParsedFences, ParsedStep, empty_steps, prose_findings, read_fences
from generator.language.front_matter import FrontMatter, read_front_matter
from generator.language.parts import Parts, site_parts
from generator.language.source.document import check_photos, read_document, read_source
from generator.language.source.records import Document, SourceStep
from generator.language.syntax.nodes import names_in
from generator.paper.records import Plan
from generator.paper.verbs import VOCABULARY
from generator.regauge.tool_grids import off_grid
from generator.tutorial.board_reach import board_notes
from generator.tutorial.checks.other_edition import rounded_clearances, stale_lengths
from generator.tutorial.checks.plans import offcut_findings, spoiled_areas
from generator.tutorial.checks.source import letters_not_in_font, stale_photos, typed_by_hand, unused_names
from generator.tutorial.facts import (
    blanks_needed,
    box_facts,
    facts_of,
    finished_sizes,
    has_dome,
    how_they_differ,
)
from generator.tutorial.folded_editions import fold_editions, fold_findings, provide_folded_values
from generator.tutorial.prose_evaluation import ProseEvaluator, plain_text
from generator.tutorial.records import LoadedSource, NameInfo, Step, Tutorial
from generator.tutorial.revision import revision_mark
from generator.tutorial.suggested_lengths import with_front_matter_suggestions, with_suggestions
from generator.tutorial.tools_and_cautions import cautions_for, tools_of
from generator.tutorial.translation import (
    TranslationSource,
    Translator,
    translations_beside,
    unevaluated_findings,
)
from generator.units import Bench

Exists = Callable[[str], bool]
# with one of these some words were not read, and they may use a name that nothing else uses
UNREAD_CODES = frozenset({"words-wrong", "sign-unknown", "braces-open", "fence-open", "fence-stray",
                          "too-deep", "too-much"})


def load(path: Path | str, shown: str | None, benches: Mapping[str, Bench],
         cache: MutableMapping[str, bytes] | None = None) -> LoadedSource:
    """Load one source.

    ``shown`` is how findings name the file; photos are looked for beside it, parts beside its folder.

    What takes long to work out is kept in ``cache``.
    """
    path = Path(path)
    text, findings = read_source(path, shown)
    if text is None:
        return LoadedSource(None, findings, "")
    parts, wrong = site_parts(path)
    if wrong:
        return LoadedSource(None, wrong, text)
    return load_text(text, shown or str(path), benches, slug=path.parent.name,
                     exists=lambda src: (path.parent / src).is_file(), parts=parts,
                     told=translations_beside(path, shown or str(path)), cache=cache)


def load_text(text: str, shown: str, benches: Mapping[str, Bench], slug: str = "tutorial",
              exists: Exists = lambda src: True, parts: Parts | None = None,
              told: Sequence[TranslationSource] = (),
              cache: MutableMapping[str, bytes] | None = None) -> LoadedSource:
    """As :func:`load`, from the text of a source; ``parts`` are those of its site, ``told`` its translations."""
    texts = {each.file: each.text for each in told}
    document = read_document(shown, text, parts)
    front, front_findings = read_front_matter(document, VOCABULARY)
    read = read_fences(document)
    findings = [*document.findings, *check_photos(document, exists), *front_findings, *read.findings,
                *empty_steps(document, read)]
    if front is None:
        return LoadedSource(None,
                            capped_findings([*with_front_matter_suggestions(document, read, findings,
                                                                            benches), *prose_findings(
                                                                                document),
                                   *(f for each in told for f in unevaluated_findings(each))]), document.text,
                                   texts=texts)
    editions, wrong = evaluate_both(front, [(s.number, statements) for s, statements in read.steps], benches,
                                    read.unread_names)
    findings.extend((*wrong, *stale_photos(front, document),
                     *letters_not_in_font(document, (front.title, *editions[front.drawn_in].names))))
    findings.extend(_plan_findings(front, read.steps, editions, benches))
    folds: Mapping[str, FoldedPlan] = {}
    if not has_errors(findings):    # a plan with errors is not yet the one that would be folded
        plans = {system: edition.plan for system, edition in editions.items()}
        folds = fold_editions(plans, cache)
        findings.extend(fold_findings(folds, front, plans))
    provide_folded_values(editions, front, folds)    # prose may quote the folded box, so it is worded last
    tutorial, more = _assemble(slug, document, front, read, editions, benches, folds)
    if not any(f.code in UNREAD_CODES for f in (*findings, *more)):
        more += unused_names(document, front, [s for _, statements in read.steps for s in statements])
    findings.extend(more)
    steps = [(step.number, statements) for step, statements in read.steps]
    translator = Translator(document, front, editions, exists)
    retold = {each.code: translator.read(each) for each in told}
    ordered = capped_findings([*with_suggestions(findings, front, steps, editions[front.drawn_in].plan,
                                                 benches),
                     *(f for _, wrong in retold.values() for f in wrong)])
    if has_errors(ordered):
        return LoadedSource(None, ordered, document.text, texts=texts)
    made = tutorial(ordered)
    return LoadedSource(made, ordered, document.text,
                        {code: make(made) for code, (make, _) in retold.items()}, texts)


def _assemble(slug: str, document: Document, front: FrontMatter, read: ParsedFences,
              editions: Mapping[str, Evaluation],
              benches: Mapping[str, Bench],
              folds: Mapping[str, FoldedPlan]) -> tuple[Callable, list[Finding]]:
    """What makes the tutorial once its findings are known, and the findings of prose."""
    steps = read.steps
    inlayer = ProseEvaluator(editions, front.drawn_in)
    intro = inlayer.prose(document.intro)
    supplies = tuple(inlayer.prose(each) for each in front.supplies)
    plans = {system: edition.plan for system, edition in editions.items()}
    made = [replace(_step(inlayer, step, front.drawn_in, _leaves_trace(plans[front.drawn_in], step)),
                    notes=board_notes(plans, benches, step.number)) for step, _ in steps]
    findings = [*inlayer.findings, *typed_by_hand(document, editions[front.drawn_in])]

    def tutorial(found: tuple[Finding, ...]) -> Tutorial:
        warnings = tuple(f for f in found if f.severity is Severity.WARNING)
        return Tutorial(
            slug=slug, file=document.file, front=front, intro=intro, steps=tuple(_anchored(made)),
            plans=plans,
            facts=facts_of(plans, folded=finished_sizes(folds), box=box_facts(front, plans, folds),
                           bent=has_dome(folds)),
            supplies=(*blanks_needed(plans), *supplies), tools=tools_of(plans[front.drawn_in]),
            cautions=cautions_for(plans[front.drawn_in], front.uses),
            differ=how_they_differ(plans, front.drawn_in),
            revision=revision_mark(plans), findings=warnings, names=_names(editions, steps), benches=benches,
            folds=folds)
    return tutorial, findings


def _plan_findings(front: FrontMatter, steps: Sequence[ParsedStep], editions: Mapping[str, Evaluation],
                   benches: Mapping[str, Bench]) -> list[Finding]:
    drawn, other = editions[front.drawn_in], editions[front.other]
    found = [*off_grid(drawn.plan, benches[front.drawn_in], drawn=True),
             *off_grid(other.plan, benches[front.other], drawn=False)]
    # a plan with holes of its own would only be blamed for the holes
    if drawn.failed_statements == other.failed_statements:
        found.extend(compare_editions(drawn.plan, other.plan))
    found.extend(stale_lengths(front, drawn.plan, benches))
    found.extend(rounded_clearances(front, [(step.number, statements) for step, statements in steps],
                                    benches))
    found.extend(spoiled_areas(drawn.plan))
    found.extend(offcut_findings(front, {front.drawn_in: drawn.plan, front.other: other.plan}))
    return found


def _leaves_trace(plan: Plan, step: SourceStep) -> bool:
    """Whether a step leaves something to be seen; sums, requirements and named faces leave none."""
    return any(act.kind.leaves_trace for act in plan.acts_of(step.number))


def _step(inlayer: ProseEvaluator, step: SourceStep, drawn_in: str, has_picture: bool) -> Step:
    heading = inlayer.prose(step.heading, step.number)
    prose = inlayer.blocks(step.blocks, step.number)
    return Step(step.number, plain_text(heading, drawn_in), "", step.line, prose, has_picture, heading)


def _anchored(steps: list[Step]) -> list[Step]:
    """Give each step an anchor that outlives its number: made of its title, a number only where two are alike."""
    taken: dict[str, int] = {}
    done = []
    for step in steps:
        base = anchor(step.title) or "step"
        taken[base] = taken.get(base, 0) + 1
        done.append(replace(step, anchor=base if taken[base] == 1 else f"{base}-{taken[base]}"))
    return done


def anchor(title: str) -> str:
    """A title as a link's name: plain small letters and hyphens."""
    letters = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", letters).strip("-")


def _names(editions: Mapping[str, Evaluation], steps: Sequence[ParsedStep]) -> dict[str, NameInfo]:
    first = next(iter(editions.values()))
    uses = {s.name: names_in(s.value) for _, statements in steps for s in statements if s.name}
    return {name: NameInfo(name, b.text, b.span, b.step,
                           {s: e.names[name].value for s, e in editions.items()},
                           uses.get(name, ()))
            for name, b in first.names.items() if all(name in e.names for e in editions.values())}
