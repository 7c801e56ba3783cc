"""What readers call the pieces, papers, marks and faces that a source names in its own way.

A name of the source is made of small letters and bars. What pictures, cards
and templates show is a word of the reader's language: the author says it under
``names:``, in the tutorial and in each translation.
"""
from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from generator.findings import Finding, Span, finding
from generator.language.evaluation.application import did_you_mean
from generator.language.evaluation.editions import Editions
from generator.language.front_matter import FrontMatter
from generator.locale import Locale
from generator.paper.records import Glue, Plan

CODE_LIKE = re.compile(r"[_\d]|^.$")      # in the last part of a name: bars, figures, a single letter


def shown_names(plan: Plan) -> tuple[str, ...]:
    """All names that pictures and cards show to readers: of pieces, papers, marks and glued faces."""
    shown = dict.fromkeys(info.name for info in plan.pieces)
    shown |= dict.fromkeys(info.paper.name for info in plan.pieces if info.paper is not None)
    shown |= dict.fromkeys(mark.name for info in plan.pieces for mark in plan.final_state(info.id).marks
                           if mark.name)
    shown |= dict.fromkeys(face.name for act in plan.acts if isinstance(act.detail, Glue)
                           for face in (*act.detail.faces, *act.detail.target) if face.name)
    return tuple(name for name in shown if name)


def unknown_names(spans: Mapping[str, Span], editions: Editions) -> Iterator[Finding]:
    """A finding for each name that is given words, at its span, and that the source does not make."""
    known = {name for edition in editions.evaluations.values() for name in edition.names}
    shown = {name for edition in editions.evaluations.values() for name in shown_names(edition.plan)}
    # of what a part gave, "rim.front", also "front"
    known |= shown | {_last_part(name) for name in shown}
    for name, span in spans.items():
        if name not in known:
            yield finding("name-unknown", span, f"the tutorial makes nothing of the name '{name}'",
                          did_you_mean(name, known, "take it out"))


def untranslated_names(plan: Plan, words: Locale, span: Span) -> Iterator[Finding]:
    """Names that pictures and cards show to readers, and that have no words in this language."""
    if lacking := _unworded(plan, words.names):
        yield finding("translation-names", span,
                      "pictures and cards show these names as they stand in the source: "
                      + ", ".join(lacking),
                      "say under names: what each is called in this language")


def code_like_names(front: FrontMatter, plan: Plan) -> Iterator[Finding]:
    """Names that pictures and cards show to readers, and that are no words of their language."""
    lacking = [name for name in _unworded(plan, front.names)
               if CODE_LIKE.search(_last_part(name).rstrip("_"))]
    if lacking:
        span = next(iter(front.names_at.values()), Span(front.file, 1, 1, 3))
        yield finding("reader-names", span,
                      f"pictures and cards show these names to readers: {', '.join(lacking)}",
                      f"say under names: what each is called, such as {lacking[0]}: "
                      f"{_last_part(lacking[0]).replace('_', ' ')}")


def _unworded(plan: Plan, words: Mapping[str, str]) -> list[str]:
    return [name for name in shown_names(plan) if name not in words and _last_part(name) not in words]


def _last_part(name: str) -> str:
    return name.rpartition(".")[2]
