"""How a tutorial differs from what was published, edition by edition, in the words of the trade."""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from generator.dataclass import dataclass
from generator.findings import EDITION_NAMES
from generator.record.state import KINDS, EditionState, TutorialState

MOST_PAIRS = 4        # places of one row that are told
NOTHING = ""                                  # what was or is not there


@dataclass(frozen=True, slots=True)
class Change:
    """What ``name`` of a ``kind`` was ``before`` and is ``after``; "" where it is new, or gone.

    Of words ``before`` is how many sentences are gone, and ``after`` the new ones, whole.
    """

    kind: str
    name: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class ChangedEdition:
    """An edition with its marks before and now; ``changes`` in the order of :data:`KINDS`."""

    system: str
    old_mark: str
    mark: str
    changes: tuple[Change, ...]

    @property
    def plan_moved(self) -> bool:
        """Whether a line is elsewhere, so that an old print is no longer good."""
        return self.old_mark != self.mark

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds in which something changed."""
        changed = {each.kind for each in self.changes}
        return tuple(kind for kind in KINDS if kind in changed)


def changes_between(old: TutorialState, new: TutorialState) -> tuple[ChangedEdition, ...]:
    """Both editions, those without a change too."""
    return tuple(ChangedEdition(system, before.mark, now.mark, tuple(_changes(before, now, new.quotes)))
                 for system, now in new.editions.items() if (before := old.editions[system]))


def _changes(old: EditionState, new: EditionState, quotes: Mapping[str, str]) -> Iterator[Change]:
    for kind in KINDS:
        if kind not in old.kinds or kind == "prints" and old.mark != new.mark:
            continue        # nothing is known of it, or the prints are told of with the plan
        before, now = old.kinds[kind], new.kinds.get(kind, {})
        for name in dict.fromkeys((*before, *now)):
            was, is_now = before.get(name, NOTHING), now.get(name, NOTHING)
            if was != is_now:
                yield (_word_change(name, was, is_now, quotes) if kind == "words"
                       else Change(kind, name, was, is_now))


def _word_change(name: str, was: str, is_now: str, quotes: Mapping[str, str]) -> Change:
    old, new = was.split(), is_now.split()
    gone = sum(each not in new for each in old)
    added = [quotes.get(each, each) for each in new if each not in old]
    return Change("words", name, str(gone) if gone else NOTHING, " ".join(added))


# what may have become of a tutorial since a revision, and how that is told
OUTCOMES = {
    "plan_moved": "the plan moved, old prints are no longer good",
    "print_moved": "the print moved and no line did, old prints are still good",
    "unmoved": "nothing moved, by the digests of plan, pictures, words, prints, supplies, credit and photos",
    "unpublished": "not published yet",
}


def outcome(editions: Iterable[ChangedEdition]) -> str:
    """One of :data:`OUTCOMES`; a tutorial without a revision has no editions to compare."""
    editions = tuple(editions)
    if not editions:
        return "unpublished"
    if any(each.plan_moved for each in editions):
        return "plan_moved"
    return "print_moved" if any(each.changes for each in editions) else "unmoved"


# -- in words ------------------------------------------------------------------------


def changes_text(editions: tuple[ChangedEdition, ...]) -> list[str]:
    """Lines for a terminal: each edition, what moved in it, and whether old prints are still good."""
    lines = []
    for edition in editions:
        lines += [f"  {EDITION_NAMES[edition.system]} edition, {verdict(edition)}"]
        lines += [f"    {line}" for line in change_lines(edition)]
    return lines


def outcome_lines(by_outcome: Mapping[str, Iterable[str]]) -> list[str]:
    """Which tutorials moved and that no other did, a line for each outcome that there is."""
    return [f"{OUTCOMES[one]}: {', '.join(names)}" for one, names in by_outcome.items() if names]


def verdict(edition: ChangedEdition) -> str:
    """What a print of the old mark is worth."""
    if edition.plan_moved:
        return f"mark {edition.old_mark}, now {edition.mark}: old prints are no longer good"
    if not edition.changes:
        return f"mark {edition.mark}: nothing changed"
    what = {"words": "words", "prints": "prints", "paper": "paper and supplies", "credit": "credit",
            "photos": "photos",
            "measures": "names of measures", "pictures": "pictures"}
    told = ", ".join(what[kind] for kind in edition.kinds)
    return f"mark {edition.mark}: {told} changed, no line moved; old prints are still good"


def change_lines(edition: ChangedEdition) -> Iterator[str]:
    """What changed, a line each; pictures together."""
    steps = [each.name.removeprefix("step ") for each in edition.changes if each.kind == "pictures"]
    for each in edition.changes:
        if each.kind == "pictures":
            if steps:
                plural = "s" if len(steps) > 1 else ""
                yield f"the picture{plural} of step{plural} {', '.join(steps)}, and the template"
                steps = []
        elif each.kind == "words":
            yield _words_line(each)
        elif each.kind == "prints":
            yield f"words on the {_place(each.name)}"
        elif each.kind == "photos":
            became = "gone" if not each.after else "another one" if each.before else "new"
            yield f"photo {each.name}: {became}"
        else:
            yield _value_line(each)


def _words_line(each: Change) -> str:
    where = f"words of {_place(each.name)}"
    gone = f"{each.before} sentence{'s' if each.before != '1' else ''} gone" if each.before else ""
    new = f"now “{each.after}”" if each.after else ""
    return f"{where}: {'; '.join(filter(None, (gone, new))) or 'in another order'}"


def _place(name: str) -> str:
    """"step 3" of "en step 3"; of another language with its code."""
    language, _, place = name.partition(" ")
    return place if language == "en" else f"{place} ({language})"


def _value_line(each: Change) -> str:
    name = each.name.removeprefix("length ").removeprefix("size ")
    if not each.before:
        return f"{name}: new, {each.after}"
    if not each.after:
        return f"{name}: gone, was {each.before}"
    before, now = each.before.split(", "), each.after.split(", ")
    if len(before) == len(now) > 3:         # of a long row only what moved
        pairs = [(old, new) for old, new in zip(before, now, strict=True) if old != new]
        told = [f"was {old}, is {new}" for old, new in pairs[:MOST_PAIRS]]
        rest = [f"{len(pairs) - MOST_PAIRS} more moved"] if len(pairs) > MOST_PAIRS else []
        return f"{name}: {'; '.join((*told, *rest))}"
    return f"{name}: was {each.before}, is {each.after}"
