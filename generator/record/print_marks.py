"""What older prints are worth: for readers, in their language, from the record of each tutorial."""
from __future__ import annotations

from collections.abc import Iterator

from generator.dataclass import dataclass
from generator.locale import Locale
from generator.record.changes import ChangedEdition, changes_between
from generator.record.revision_files import Record, Revision
from generator.record.state import EditionState, TutorialState
from generator.units import QuantityError, as_text, display_measure, parse_length

CURRENT, GOOD, MOVED = "current", "good", "moved"
MOST_LINES = 6          # differences that are told of one print
# the lines of the record that a reader can do something with, by the word that they begin with
TOLD = ("length ", "blank ", "count ")


@dataclass(frozen=True, slots=True)
class PrintMark:
    """A mark that stands on prints of an edition; ``since`` is the day of its first publication, or "".

    ``verdict`` is "current", "good" (words or paper changed, no line moved) or "moved"; ``lines`` say what
    is elsewhere now.
    """

    mark: str
    system: str
    since: str
    verdict: str
    lines: tuple[str, ...] = ()
    kept: tuple[tuple[str, str], ...] = ()      # paper and name of the templates it still has


@dataclass(frozen=True, slots=True)
class MarkedTutorial:
    """A tutorial with all the marks that its prints may have, the newest first."""

    title: str
    url: str
    marks: tuple[PrintMark, ...]
    templates: str = ""         # where its templates lie


@dataclass(frozen=True, slots=True)
class HistoryEntry:
    """A later publication: its day, its reason, and by system what moved then."""

    name: str
    day: str
    why: str
    lines: tuple[tuple[str, tuple[str, ...]], ...]


def print_marks(record: Record, state: TutorialState, locale: Locale) -> tuple[PrintMark, ...]:
    """All marks of both editions, inches first; what is there now counts as if it were published."""
    return tuple(mark for system in ("in", "mm") for mark in _edition_marks(record, state, system, locale))


def _edition_marks(record: Record, state: TutorialState, system: str, locale: Locale) -> Iterator[PrintMark]:
    now = state.editions[system]
    first: dict[str, Revision] = {}
    last: dict[str, Revision] = {}
    for each in record.revisions:
        first.setdefault(each.marks[system], each)
        last[each.marks[system]] = each
    own = first.get(now.mark)
    touched = own is not None and _differs(own.state.editions[system], now)
    yield PrintMark(now.mark, system, str(own.day) if own else "", GOOD if touched else CURRENT)
    for mark, revision in reversed(last.items()):
        if mark != now.mark:
            edition = next(each for each in changes_between(revision.state, state) if each.system == system)
            yield PrintMark(mark, system, str(first[mark].day), MOVED, moved_lines(edition, locale))


def _differs(old: EditionState, now: EditionState) -> bool:
    return any(old.kinds.get(kind, facts) != facts for kind, facts in now.kinds.items())


def history_of(record: Record, locale: Locale) -> tuple[HistoryEntry, ...]:
    """What was published after the first time, the newest first."""
    entries = []
    for before, after in zip(record.revisions, record.revisions[1:], strict=False):
        moved = [(each.system, moved_lines(each, locale))
                 for each in changes_between(before.state, after.state) if each.plan_moved]
        entries.append(HistoryEntry(after.name, str(after.day), after.why, tuple(sorted(moved))))
    return tuple(reversed(entries))


def moved_lines(edition: ChangedEdition, locale: Locale) -> tuple[str, ...]:
    """Such as "wall was 2 3/8 in, is 2 1/2 in", first what has a name; what is left is told as marks."""
    told = list(_named_lines(edition, locale))
    if not told or len(told) > MOST_LINES:
        told[MOST_LINES - 1:] = [locale.say("record.elsewhere")]
    return tuple(told)


def _named_lines(edition: ChangedEdition, locale: Locale) -> Iterator[str]:
    changes = [each for each in edition.changes if each.kind == "measures" and each.name.startswith(TOLD)]
    for each in sorted(changes, key=lambda one: TOLD.index(f"{one.name.split()[0]} ")):
        name = locale.name(each.name.split(" ", 1)[1])
        if each.before and each.after:
            before, after = (_worded(text, edition.system, locale) for text in (each.before, each.after))
            yield locale.say("record.was", name=name, before=before, after=after)


def _worded(text: str, system: str, locale: Locale) -> str:
    """A measure of the record, or a size of two, which is kept in English, in the reader's language."""
    return " × ".join(_one_worded(part, system, locale) for part in text.split(" by "))


def _one_worded(text: str, system: str, locale: Locale) -> str:
    about = text.startswith("about ")
    try:
        shown = display_measure(parse_length(text.removeprefix("about ")), system)
    except QuantityError:
        return text
    word = as_text(shown, locale)
    # a number and its unit stay in one line
    return (f"{locale.say('grammar.about')} {word}" if about else word).replace(" ", "\u00a0")
