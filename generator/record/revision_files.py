"""The record on disk: a file for each revision beside the source, and one list of all that was published.

A revision's file is named by its day and by the head of the hash of its text, and is never written again. The
list names every revision of all tutorials, a line each, so that a file which is lost is missed. Both are made
for version control: two working copies that publish add files of different names and lines, and merge.
"""
from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator, Mapping
from datetime import date
from pathlib import Path

from generator.dataclass import dataclass, field
from generator.files import finish_writing
from generator.findings import Finding, Span, finding
from generator.language.source.former_names import former_names
from generator.record.kept_templates import KeptTemplate, files_in, read_kept
from generator.record.state import KINDS, LATER_KINDS, EditionState, TutorialState, name_of
from generator.units import SYSTEMS

RECORD_FOLDER = "record"                # beside the source
LIST_FILE = "published.txt"             # in the folder of all tutorials
MOST_SIGNS = 400_000                     # of one file: a hundred times what a box has
RESTORE = "take it back from version control (git checkout) or a copy"
_FILE_NAME = re.compile(r"(\d{4}-\d\d-\d\d)-([0-9a-f]{10})\.txt")
_LIST_LINE = re.compile(r"(\d{4}-\d\d-\d\d) ([0-9a-f]{10}) ([^\s/]+)")
_EDITION = re.compile(r"## (in|mm) ([0-9A-HJKMNP-TV-Z]{6})")
_KIND = re.compile(r"### ([a-z]+) ([0-9a-f]{10})")
_LINE = re.compile(r"(\S.*?): (.*)")
_MERGE = re.compile(r"(<<<<<<<|=======|>>>>>>>)")


@dataclass(frozen=True, slots=True)
class Revision:
    """One publication: its ``name`` (the head of its hash), day, reason, those it follows, and the state."""

    name: str
    day: date
    why: str
    after: tuple[str, ...]
    state: TutorialState

    @property
    def marks(self) -> Mapping[str, str]:
        """The revision mark of each edition, by system."""
        return {system: edition.mark for system, edition in self.state.editions.items()}


@dataclass(frozen=True, slots=True)
class Record:
    """All revisions of a tutorial, the oldest first; ``texts`` is what ``findings`` quote, by file.

    ``kept`` are templates that were set aside.
    """

    revisions: tuple[Revision, ...] = ()
    findings: tuple[Finding, ...] = ()
    texts: Mapping[str, str] = field(default_factory=dict)
    kept: tuple[KeptTemplate, ...] = ()

    @property
    def last(self) -> Revision | None:
        """The newest; of two that were published apart the one of the later day."""
        return self.revisions[-1] if self.revisions else None

    @property
    def heads(self) -> tuple[str, ...]:
        """The names of those that no other follows: several after a merge."""
        followed = {name for each in self.revisions for name in each.after}
        return tuple(each.name for each in self.revisions if each.name not in followed)

    def revision(self, wanted: str) -> Revision | None:
        """The newest that has this mark, name or day; None where there is none."""
        return next((each for each in reversed(self.revisions)
                     if wanted.upper() in each.marks.values() or each.name == wanted.lower()
                     or str(each.day) == wanted), None)


# -- writing -----------------------------------------------------------------------


def revision_text(day: date, why: str, after: Iterable[str], state: TutorialState) -> str:
    """The whole file of a revision, one line a fact, so that a diff can be read."""
    lines = [f"published: {day}", f"why: {' '.join(why.split())}", f"after: {' '.join(after)}".rstrip()]
    for system, edition in state.editions.items():
        lines += ["", f"## {system} {edition.mark}"]
        for kind, facts in edition.kinds.items():
            body = [f"{_key(name)}: {' '.join(text.split())}" for name, text in facts.items()]
            lines += ["", f"### {kind} {_digest(body)}", *body]
    return "\n".join(lines) + "\n"


def file_name(day: date, text: str) -> str:
    """Such as "2026-11-30-3f9a12bc64.txt"."""
    return f"{day}-{name_of(text)}.txt"


def list_line(day: date, name: str, slug: str) -> str:
    """The line of a revision in the list."""
    return f"{day} {name} {slug}"


def _key(name: str) -> str:
    return " ".join(name.replace(": ", " ").split()).rstrip(":")


def _digest(body: Iterable[str]) -> str:
    return name_of("\n".join(line.rstrip() for line in body))


# -- reading -----------------------------------------------------------------------


def read_record(folder: Path, shown: str) -> Record:
    """The record of the tutorial in ``folder``; ``shown`` is how messages name the folder of all tutorials.

    Nothing is begun anew where something is wrong.
    """
    finish_writing(folder.parent)       # a publication that was killed is whole, or was none
    revisions: dict[str, Revision] = {}
    findings, texts = list[Finding](), dict[str, str]()
    for path in files_in(folder / RECORD_FOLDER, "*.txt"):
        file = f"{shown}/{folder.name}/{RECORD_FOLDER}/{path.name}"
        text = _read(path)
        if text is None:
            findings.append(finding("record-broken", Span(file), "this file of the record cannot be read",
                                    RESTORE))
            continue
        texts[file] = text
        try:
            found = _revision(path.name, text, file)
        except _Broken as broken:
            findings.append(broken.finding)
        else:
            revisions[found.name] = found
    names = {folder.name, *former_names(folder / "index.md")}       # the record goes with a tutorial
    listed, wrong = _listed(folder.parent / LIST_FILE, f"{shown}/{LIST_FILE}", names, texts)
    kept, damaged = read_kept(folder, shown, RESTORE)
    findings += (*wrong, *damaged)
    if not findings:
        findings += _lost(revisions, listed, f"{shown}/{LIST_FILE}", f"{shown}/{folder.name}/{RECORD_FOLDER}")
    return Record(tuple(_in_order(revisions)) if not findings else (), tuple(findings),
                  texts if findings else {}, kept)


class _Broken(Exception):
    def __init__(self, code: str, file: str, number: int, text: str, message: str, hint: str = RESTORE):
        self.finding = finding(code, Span(file, number, 1, max(len(text), 1)), message, hint)


def _read(path: Path) -> str | None:
    try:
        if path.is_symlink() or path.stat().st_size > MOST_SIGNS:
            return None
        return path.read_bytes().decode("utf-8").replace("\r\n", "\n")
    except (OSError, UnicodeDecodeError):
        return None


def _revision(name: str, text: str, file: str) -> Revision:
    """The revision that a file holds. Raises _Broken at the first line that is wrong."""
    lines = text.rstrip("\n").split("\n")
    for number, line in enumerate(lines, 1):
        if _MERGE.match(line):
            raise _Broken("record-broken", file, number, line, "a merge was not finished here")
    named = _FILE_NAME.fullmatch(name)
    if named is None:
        raise _Broken("record-broken", file, 1, lines[0], "no revision has a file of such a name",
                      "take it out of the folder; foldgauge publish names its files itself")
    day, why, after = _head(lines, file)
    editions = _editions(lines, file)
    if str(day) != named[1] or name_of(text) != named[2]:
        raise _Broken("record-edited", file, 1, lines[0],
                      "this revision is not as it was published: its day, its reason or what it follows is "
                      "another, or a line has gone")
    return Revision(named[2], day, why, after, TutorialState(editions))


def _head(lines: list[str], file: str) -> tuple[date, str, tuple[str, ...]]:
    said = []
    for number, key in enumerate(("published", "why", "after"), 1):
        line = lines[number - 1] if number <= len(lines) else ""
        if not line.startswith(f"{key}:"):
            raise _Broken("record-broken", file, number, line, f"“{key}:” must stand here")
        said.append(line.removeprefix(f"{key}:").strip())
    try:
        return date.fromisoformat(said[0]), said[1], tuple(said[2].split())
    except ValueError:
        raise _Broken("record-broken", file, 1, lines[0], "this is no day, such as 2026-11-30") from None


def _editions(lines: list[str], file: str) -> Mapping[str, EditionState]:
    found: dict[str, tuple[str, dict[str, dict[str, str]]]] = {}
    begun: list[tuple[int, str, list[str]]] = []        # line, digest and body of each kind
    facts: dict[str, str] | None = None
    kinds: dict[str, dict[str, str]] | None = None
    for number, line in enumerate(lines[3:], 4):
        if edition := _EDITION.fullmatch(line):
            kinds, facts = {}, None
            found[edition[1]] = edition[2], kinds
        elif (kind := _KIND.fullmatch(line)) and kinds is not None:
            facts = kinds.setdefault(kind[1], {})
            begun.append((number, kind[2], []))
        elif (fact := _LINE.fullmatch(line)) and facts is not None:
            facts[fact[1]] = fact[2]
            begun[-1][2].append(line)
        elif line.strip():
            raise _Broken("record-broken", file, number, line, "this line does not belong into a record")
    for number, digest, body in begun:
        if _digest(body) != digest:
            raise _Broken("record-edited", file, number, lines[number - 1],
                          "what stands below is not what was published: somebody has changed it")
    if set(found) != set(SYSTEMS) or any(set(KINDS) - LATER_KINDS - set(each) for _, each in found.values()):
        raise _Broken("record-broken", file, len(lines), lines[-1], "the rest of this revision is gone")
    return {system: EditionState(mark, each) for system, (mark, each) in found.items()}


@dataclass(frozen=True, slots=True)
class _Listed:
    """The revisions of a tutorial by name: the line of the list and its day; None without a list.

    ``others`` are those of other tutorials, with what these are called.
    """

    lines: Mapping[str, tuple[int, str]] | None
    others: Mapping[str, str] = field(default_factory=dict)


def _listed(path: Path, shown: str, names: Container[str],
            texts: dict[str, str]) -> tuple[_Listed, list[Finding]]:
    try:
        there = path.exists()
    except OSError:
        there = False
    if not there:
        return _Listed(None), []
    text = _read(path)
    if text is None:
        return _Listed({}), [finding("record-broken", Span(shown),
                                     "the list of what was published cannot be read", RESTORE)]
    texts[shown] = text
    found: dict[str, tuple[int, str]] = {}
    others: dict[str, str] = {}
    wrong = []
    for number, line in enumerate(text.split("\n"), 1):
        said = _LIST_LINE.fullmatch(line)
        if said is not None and said[3] in names:
            found[said[2]] = number, said[1]
        elif said is not None:
            others[said[2]] = said[3]
        elif said is None and line.strip():
            hint = "keep the lines of both sides, and take this one out" if _MERGE.match(line) else RESTORE
            wrong.append(finding("record-broken", Span(shown, number, 1, len(line)),
                                 "this is no line of the list: a day, the name of a revision, a tutorial",
                                 hint))
    return _Listed(found, others), wrong


def _lost(revisions: Mapping[str, Revision], listed: _Listed, list_shown: str,
          place: str) -> Iterator[Finding]:
    """A revision that the list or another one names and that is not there, and one that no list names."""
    if listed.lines is None:
        if revisions:
            yield finding("record-lost", Span(list_shown),
                          f"the list of what was published is gone, and the record in {place} is there",
                          RESTORE)
        return
    for name, (number, day) in listed.lines.items():
        if name in revisions and str(revisions[name].day) != day:
            yield finding("record-edited", Span(list_shown, number, 1, len(day)),
                          f"revision {name} was published on {revisions[name].day}, the list says {day}",
                          RESTORE)
        elif name not in revisions:
            yield finding("record-lost", Span(list_shown, number, 12, len(name)),
                          f"revision {name} was published, and {place} does not hold it", RESTORE)
    for each in revisions.values():
        if each.name not in listed.lines:
            file = f"{place}/{each.day}-{each.name}.txt"
            if other := listed.others.get(each.name):
                yield finding("record-lost", Span(file), f"this revision was published as {other}",
                              "a tutorial that was renamed says so in its front matter, and keeps its "
                              f"record: aliases: [{other}]")
                continue
            yield finding("record-lost", Span(file), f"the list {list_shown} does not name this revision",
                          f"add a line: {list_line(each.day, each.name, place.split('/')[-2])}")
        for name in each.after:
            if name not in revisions:
                file = f"{place}/{each.day}-{each.name}.txt"
                yield finding("record-lost", Span(file, 3), f"it follows revision {name}, which is gone",
                              RESTORE)


def _in_order(revisions: Mapping[str, Revision]) -> list[Revision]:
    """Each behind those it follows; else by day and name."""
    left = sorted(revisions.values(), key=lambda each: (each.day, each.name))
    placed: dict[str, Revision] = {}
    while left:
        ready = next((each for each in left if set(each.after) <= set(placed)), left[0])
        left.remove(ready)
        placed[ready.name] = ready
    return list(placed.values())
