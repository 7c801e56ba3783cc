"""From a source and a wish to the answer: what ``foldgauge regauge`` and the build ask."""
from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from generator.findings import Finding, fewer, has_errors
from generator.language.front_matter import FrontMatter, read_front_matter
from generator.language.parts import Parts
from generator.language.source.document import read_document
from generator.paper.records import Plan
from generator.paper.verbs import VOCABULARY
from generator.tutorial.editions import evaluate_edition
from generator.tutorial.reading import read_fences
from generator.tutorial.regauge.conflict import Conflict, Relaxation, conflicts, relaxations
from generator.tutorial.regauge.leaders import EvaluatedChoice, Leaders, Workshop, leaders
from generator.tutorial.regauge.number_by_number import OneByOne, one_by_one
from generator.tutorial.regauge.problem import RegaugeProblem, pose
from generator.tutorial.regauge.ranking import CLOSE, FRIENDLY
from generator.tutorial.regauge.sums import Steps
from generator.tutorial.regauge.yields import Wanted, needs_of, yields_of
from generator.units import Bench

HOW_MANY = 5


@dataclass(frozen=True, slots=True)
class Wish:
    """What is asked besides the source: kept values (mm, by name), the window's share, yields, the preference."""

    kept: Mapping[str, Fraction] = field(default_factory=dict)
    within: Fraction | None = None
    yields: tuple[Wanted, ...] = ()
    prefer: str = CLOSE


@dataclass(frozen=True, slots=True)
class DrawnSource:
    """The drawn side of a source, sound: what regauging starts from."""

    front: FrontMatter
    steps: Steps
    plan: Plan


@dataclass(frozen=True, slots=True)
class Answer:
    """``leaders`` hold the best choices; ``other`` is the winner of the other preference (None: there is none).

    Without a choice ``conflicts`` say what contradicts, ``relaxations`` what
    would help; both are empty where choices fail only when worked out in full.
    """

    problem: RegaugeProblem
    wish: Wish
    leaders: Leaders
    other: EvaluatedChoice | None
    number_by_number: OneByOne
    conflicts: tuple[Conflict, ...] = ()
    relaxations: tuple[Relaxation, ...] = ()

    @property
    def best(self) -> EvaluatedChoice | None:
        """The winner; None where nothing fits."""
        return self.leaders.best[0] if self.leaders.best else None


def read_drawn(text: str, shown: str, benches: Mapping[str, Bench],
               parts: Parts | None = None) -> tuple[DrawnSource | None, tuple[Finding, ...]]:
    """The drawn side of a source, whatever is wrong with its other edition; None and the errors where it is not sound.

    ``parts`` are those of its site.
    """
    document = read_document(shown, text, parts)
    front, wrong = read_front_matter(document, VOCABULARY, drawn_only=True)
    read = read_fences(document)
    findings = [*document.findings, *wrong, *read.findings]
    if front is None or has_errors(findings):
        return None, fewer(f for f in findings if has_errors([f]))
    steps = tuple((step.number, statements) for step, statements in read.steps)
    drawn = evaluate_edition(front, steps, benches, front.drawn_in)
    findings += drawn.findings
    errors = fewer(f for f in findings if has_errors([f]))
    return (None, errors) if errors else (DrawnSource(front, steps, drawn.plan), ())


def workshop_of(drawn: DrawnSource, benches: Mapping[str, Bench], wish: Wish) -> Workshop:
    """The problem of a wish, and where its choices are worked out."""
    front, yields = drawn.front, yields_of(drawn.plan, wish.yields)
    problem = pose(front, drawn.steps, benches, front.other, wish.kept, wish.within, needs_of(yields), drawn.plan)
    return Workshop(problem, yields)


def ask(drawn: DrawnSource, benches: Mapping[str, Bench], wish: Wish = Wish(), how_many: int = HOW_MANY) -> Answer:
    """The best choices, and what would have been without them; or why there are none."""
    workshop = workshop_of(drawn, benches, wish)
    found = leaders(workshop, wish.prefer, how_many)
    if not found.best:
        contradicting = () if found.failed else conflicts(workshop.problem)
        return Answer(workshop.problem, wish, found, None, one_by_one(workshop), contradicting,
                      relaxations(workshop.problem, contradicting) if contradicting else ())
    other = leaders(workshop, FRIENDLY if wish.prefer == CLOSE else CLOSE, 1).best
    return Answer(workshop.problem, wish, found, other[0] if other else None, one_by_one(workshop))
