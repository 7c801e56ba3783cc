"""Take down what a tutorial is now, edition by edition and kind by kind."""
from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path
from urllib.parse import unquote

from generator.language.source.files_beside import file_digest
from generator.paper.records import Plan
from generator.record.state import NAME_LENGTH, EditionState, TutorialState, name_of
from generator.tutorial import Prose, Tutorial
from generator.tutorial.measures import edition_data
from generator.tutorial.prose_evaluation import plain_text, sentences
from generator.tutorial.revision import step_lines
from generator.tutorial.shelf_table import PAPERS, shelf_row
from generator.tutorial.template_files import printed_words
from generator.units import SYSTEMS

_BY_LINE = re.compile(r" \(line \d+\)\Z")        # what measures call a group that has no name


def tutorial_state(source: Path, tutorial: Tutorial, translations: Iterable[Tutorial] = ()) -> TutorialState:
    """What is there now; photos are looked for beside the ``source``."""
    told, quotes = (tutorial, *translations), dict[str, str]()
    sheets, photos = shelf_row(tutorial), dict(_photos(source, told))
    own_paper = {system: paper for paper, system in PAPERS}
    editions = {}
    for system in SYSTEMS:
        plan = tutorial.plans[system]
        paper = {**dict(_papers(plan)),
                 **{f"boxes from {name}": str(count[system]) for name, count in sheets.yields.items()},
                 **{f"supply {k}": _line(supply, system) for k, supply in enumerate(tutorial.supplies, 1)}}
        editions[system] = EditionState(tutorial.revisions[system], {
            "measures": dict(_measures(tutorial, system)),
            "pictures": {f"step {step.number}": name_of("\n".join(step_lines(plan, step.number)))
                         for step in tutorial.steps if step.has_picture},
            "words": {key: name for each in told for key, name in _words(each, system, quotes)},
            "prints": {f"{tutorial.locale.code} {name}": digest[:NAME_LENGTH] for tutorial in told
                       for name, digest in printed_words(tutorial, system, own_paper[system]).items()},
            "paper": paper, "credit": dict(_credit(tutorial)), "photos": photos})
    return TutorialState(editions, quotes)


def _line(prose: Prose, system: str) -> str:
    return " ".join(plain_text(prose, system).split())


def _measures(tutorial: Tutorial, system: str) -> Iterator[tuple[str, str]]:
    """Named lengths, blanks, marks and finished sizes, worded as this edition prints them."""
    data = edition_data(tutorial, system)
    for name, value in tutorial.front.counts.items():
        yield f"count {name}", str(value)
    for name, size in data["lengths"].items():
        yield f"length {name}", size["text"]
    for piece, found in data["pieces"].items():
        yield f"blank {piece}", f"{found['width']['text']} by {found['height']['text']}"
        unnamed: Counter[str] = Counter()
        for group, marks in found["groups"].items():
            verb = marks["verb"]
            if _BY_LINE.search(group):      # a line of prose more moves no mark
                unnamed[verb] += 1
                group = str(unnamed[verb])
            places = ", ".join(dict.fromkeys(mark["text"]
                                             for mark in marks["marks"])).replace(f" {system},", ",")
            # what has no mark on a rule is told apart by where it lies
            yield (f"{verb} {group} of {piece}",
                   f"{marks['count']} at {places}" if places
                   else f"{marks['count']}, shape {name_of(repr(marks['points']))}")
    for fact in tutorial.facts:
        yield f"size {fact.label}", _line(fact.value, system)


def _words(tutorial: Tutorial, system: str, quotes: dict[str, str]) -> Iterator[tuple[str, str]]:
    """The names of the sentences of each part of the page, which are noted in ``quotes``."""
    code, front = tutorial.locale.code, tutorial.front

    def named(texts: Iterable[str]) -> str:
        found = [sentence for text in texts for sentence in sentences(text)]
        quotes.update((name_of(each), each) for each in found)
        return " ".join(map(name_of, found))

    yield f"{code} title", named((front.title, front.summary))
    yield f"{code} introduction", named((_line(tutorial.intro, system),))
    for step in tutorial.steps:
        yield f"{code} step {step.number}", named(
            (_line(step.heading, system) or step.title, _line(step.prose, system),
             *(_line(note, system) for note in step.notes)))
    yield f"{code} tools", named(f"{tool.name}: {tool.why} {tool.instead}" for tool in tutorial.tools)
    yield f"{code} cautions", named(f"{caution.title}: {caution.text}" for caution in tutorial.cautions)


def _papers(plan: Plan) -> Iterator[tuple[str, str]]:
    """What each paper must be, such as "200 gsm, 0.26 mm thick, grain across"."""
    for info in plan.pieces:
        paper = info.paper
        if paper is not None:
            thick = f"{float(paper.thickness.value):g} mm thick" if paper.thickness is not None else ""
            yield f"paper {paper.name}", ", ".join(filter(None, (
                f"{paper.weight} gsm" if paper.weight else "", thick, f"grain {paper.grain}",
                "one way up" if paper.one_way else "", "two-sided" if paper.two_sided else "")))


def _credit(tutorial: Tutorial) -> Iterator[tuple[str, str]]:
    credit = tutorial.front.credit
    for name in ("title", "author", "source", "licence", "permission", "changes"):
        if said := getattr(credit, name):
            yield name, " ".join(str(said).split())


def _photos(source: Path, told: Iterable[Tutorial]) -> Iterator[tuple[str, str]]:
    for tutorial in told:
        for photo in tutorial.photos:
            yield photo.src, file_digest(source.parent / unquote(photo.src))[:NAME_LENGTH]
