"""Publish: add a revision to the record of a tutorial, whole or not at all."""
from __future__ import annotations

import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from generator.dataclass import dataclass, field
from generator.files import FileLock, LockTaken, NotWritten, write_files
from generator.record.changes import changes_between
from generator.record.revision_files import (
    LIST_FILE,
    RECORD_FOLDER,
    Record,
    file_name,
    list_line,
    revision_text,
)
from generator.record.state import TutorialState, name_of

LOCK_FILE = ".published.lock"
PATIENCE = 30.0          # s that one publication waits for another
FIRST_REASON = "first published"
# both sides of a merge are kept: each line is a publication of its own
MERGE_RULE = f"{LIST_FILE} merge=union\n"


class PublicationRefused(Exception):
    """Why nothing was published, in one line."""


@dataclass(frozen=True, slots=True)
class Publication:
    """A tutorial as it shall be published; ``record`` is that of now.

    ``aside`` are templates to be kept, by their places from its folder.
    """

    folder: Path
    state: TutorialState
    record: Record
    aside: Mapping[str, bytes] = field(default_factory=dict)

    @property
    def changed(self) -> bool:
        """Whether anything differs from the last revision."""
        last = self.record.last
        return last is None or any(each.changes or each.plan_moved
                                   for each in changes_between(last.state, self.state))

    @property
    def plan_moved(self) -> bool:
        """Whether a line is elsewhere than in the last revision, so that a reason must be said."""
        last = self.record.last
        return last is not None and any(each.plan_moved for each in changes_between(last.state, self.state))


@contextmanager
def publishing(folder: Path) -> Iterator[None]:
    """Hold the lock of a folder of tutorials, and wait for whoever holds it. Raises PublicationRefused."""
    until = time.monotonic() + PATIENCE
    while True:
        try:
            lock = FileLock(folder / LOCK_FILE)
            break
        except LockTaken as taken:
            if time.monotonic() > until:
                raise PublicationRefused(f"{taken} is publishing; nothing was published") from None
            time.sleep(0.05)
        except OSError as error:
            raise PublicationRefused(f"{folder} cannot be written to: {error.strerror}") from None
    try:
        yield
    finally:
        lock.release()


def publish(folder: Path, publications: Sequence[Publication], day: date, why: str) -> Mapping[Path, str]:
    """Write all of them, or none; gives the file of each. The lock of ``folder`` must be held.

    Raises PublicationRefused where two plans would share a mark, or nothing can be written.
    """
    files: dict[str, bytes] = {}
    lines, made = [], {}
    for each in publications:
        _check_marks(each)
        text = revision_text(day, why or FIRST_REASON, each.record.heads, each.state)
        name = file_name(day, text)
        files[f"{each.folder.name}/{RECORD_FOLDER}/{name}"] = text.encode("utf-8")
        files |= {f"{each.folder.name}/{place}": data for place, data in each.aside.items()}
        lines.append(list_line(day, name_of(text), each.folder.name))
        made[each.folder] = name
    listed = folder / LIST_FILE
    before = listed.read_text(encoding="utf-8") if listed.exists() else ""
    files[LIST_FILE] = "".join(f"{line}\n" for line in (*before.splitlines(), *lines)).encode("utf-8")
    rules = folder / ".gitattributes"
    known = rules.read_text(encoding="utf-8") if rules.exists() else ""
    if MERGE_RULE not in known:
        files[rules.name] = (known + MERGE_RULE).encode("utf-8")
    try:
        write_files(folder, files)
    except NotWritten as error:
        raise PublicationRefused(str(error)) from None
    return made


def _check_marks(each: Publication) -> None:
    """Two plans may not share a mark: a reader could not tell their prints apart."""
    for system, edition in each.state.editions.items():
        for old in each.record.revisions:
            known = old.state.editions[system]
            if known.mark == edition.mark and known.kinds["pictures"] != edition.kinds["pictures"]:
                raise PublicationRefused(
                    f"{each.folder.name}: the {system} edition would have the mark {edition.mark}, which "
                    f"revision {old.name} of {old.day} has with another plan; change a measure by a little")
