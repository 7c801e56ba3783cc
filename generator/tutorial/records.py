"""An evaluated tutorial: what the website, the commands and later the templates are handed."""
from __future__ import annotations

from collections.abc import Mapping

from generator.dataclass import dataclass, field
from generator.findings import Finding, Span
from generator.folding import FoldedPlan
from generator.language.build_log import MadeBox
from generator.language.front_matter import FrontMatter
from generator.locale import ENGLISH, Locale
from generator.paper.records import Plan
from generator.units import Bench, FrozenRecord


@dataclass(frozen=True, slots=True)
class MeasureWording:
    """One value in words: plain text, as read aloud, and as HTML that does not break across lines."""

    text: str
    speech: str
    html: str


@dataclass(frozen=True, slots=True)
class ComputedValue(FrozenRecord):
    """One ``{{ … }}`` of the prose, worded for each system ("mm", "in").

    ``shared`` is True where both editions say the same and no unit is
    involved ("eight"): then it is shown once.
    """

    expression: str
    span: Span
    wordings: Mapping[str, MeasureWording]
    shared: bool


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo beside the source."""

    src: str
    alt: str
    title: str
    span: Span


ProsePart = str | ComputedValue | Photo
Prose = tuple[ProsePart, ...]        # str parts are Markdown


@dataclass(frozen=True, slots=True)
class Step:
    """``number`` from 1; ``line`` of its heading in the source; ``anchor`` for links.

    ``short`` is what project sheets say of it, where the author does; ``notes`` are what its tools ask for
    beyond the author's words, each a sentence or two.
    """

    number: int
    title: str              # plain text; measures in it in the drawn edition
    anchor: str
    line: int
    prose: Prose
    has_picture: bool
    heading: Prose = ()     # the title with its measures in both editions
    notes: tuple[Prose, ...] = ()
    short: Prose = ()


@dataclass(frozen=True, slots=True)
class ToolNeed:
    """A tool the reader needs, and what to use instead of it ("" if nothing serves); ``word`` is its key."""

    name: str
    why: str
    instead: str
    word: str = ""


@dataclass(frozen=True, slots=True)
class Caution:
    """What can hurt: ``use`` is the front matter's or the tool's word, ``text`` the caution."""

    use: str
    title: str
    text: str


@dataclass(frozen=True, slots=True)
class Fact:
    """A line of the facts at a glance; ``more``: on request alone."""

    label: str
    value: Prose
    more: bool = False


@dataclass(frozen=True, slots=True)
class NameInfo(FrozenRecord):
    """A named value: ``text`` of its statement ("" in the front matter), its place, its values."""

    name: str
    text: str
    span: Span
    step: int
    values: Mapping[str, object]    # by system
    uses: tuple[str, ...] = ()      # the names that its statement mentions


@dataclass(frozen=True, slots=True)
class Tutorial(FrozenRecord):
    """The evaluated whole, in one language. ``plans`` are keyed by system, the drawn edition first."""

    slug: str
    file: str
    front: FrontMatter
    plans: Mapping[str, Plan]
    names: Mapping[str, NameInfo]
    benches: Mapping[str, Bench]
    revisions: Mapping[str, str]    # the mark of each edition, by system: six characters
    # the folded box of each edition, by system
    folds: Mapping[str, FoldedPlan] = field(default_factory=dict)
    locale: Locale = ENGLISH        # the language of all that follows
    intro: Prose = ()
    steps: tuple[Step, ...] = ()
    facts: tuple[Fact, ...] = ()
    supplies: tuple[Prose, ...] = ()
    tools: tuple[ToolNeed, ...] = ()
    cautions: tuple[Caution, ...] = ()
    made: tuple[MadeBox, ...] = ()      # boxes really made from these plans, in the order of their days
    differ: Prose = ()              # one sentence: how the two boxes differ

    @property
    def photos(self) -> tuple[Photo, ...]:
        """Those that its introduction and its steps show."""
        return tuple(part for prose in (self.intro, *(step.prose for step in self.steps)) for part in prose
                     if isinstance(part, Photo))

    @property
    def drawn_in(self) -> str:
        """The system of the drawn edition."""
        return self.front.drawn_in

    @property
    def other(self) -> str:
        """The system of the regauged edition."""
        return self.front.other

    @property
    def drawn(self) -> Plan:
        """The plan of the drawn edition."""
        return self.plans[self.drawn_in]

    @property
    def drawn_fold(self) -> FoldedPlan | None:
        """The folded box of the edition that was drawn; None where it could not be folded."""
        return self.folds.get(self.drawn_in)

    @property
    def regauged(self) -> Plan:
        """The plan of the other edition."""
        return self.plans[self.other]


@dataclass(frozen=True, slots=True)
class LoadedSource(FrozenRecord):
    """What became of one source: a tutorial (None when there is an error) and everything found.

    ``translations`` are the same tutorial in other languages, by their code,
    ``texts`` what findings in them quote, by file as shown.
    """

    tutorial: Tutorial | None
    findings: tuple[Finding, ...]
    source: str
    translations: Mapping[str, Tutorial] = field(default_factory=dict)
    texts: Mapping[str, str] = field(default_factory=dict)
