"""Templates of older plans, set aside by ``foldgauge publish`` beside the record they belong to.

The PDF files themselves are kept, under version control as the record is: a fresh clone has them, and no
program of that time is needed to draw them again. Each bears its mark and the digest of its bytes in its
name.
"""
from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from generator.dataclass import dataclass
from generator.findings import Finding, Span, finding
from generator.record.state import TutorialState, name_of

KEPT_FOLDER = "record/templates"                # beside the source
_NAME = re.compile(r"(.+)-(in|mm)-([a-z0-9]+)-([0-9A-HJKMNP-TV-Z]{6})-([0-9a-f]{10})\.pdf")


@dataclass(frozen=True, slots=True)
class KeptTemplate:
    """The template of an older plan, by the ``mark`` of its edition, on one ``paper``."""

    path: Path
    system: str
    paper: str
    mark: str

    def name(self, slug: str) -> str:
        """What it is called on the site."""
        return f"{slug}-{self.system}-{self.paper}-{self.mark}.pdf"


def kept_name(slug: str, system: str, paper: str, mark: str, data: bytes) -> str:
    """Where a template is set aside, from the folder of its tutorial."""
    return f"{KEPT_FOLDER}/{slug}-{system}-{paper}-{mark}-{name_of(data)}.pdf"


def files_in(place: Path, pattern: str) -> list[Path]:
    """The files of a folder that fit a pattern, in order; none where it cannot be looked into."""
    try:
        return sorted(place.glob(pattern)) if place.is_dir() else []
    except OSError:         # then the source beside it cannot be read either, which is told
        return []


def read_kept(folder: Path, shown: str, restore: str) -> tuple[tuple[KeptTemplate, ...], tuple[Finding, ...]]:
    """All that lie beside a tutorial, and a finding for each that is not as it was set aside."""
    found, wrong = list[KeptTemplate](), list[Finding]()
    for path in files_in(folder / KEPT_FOLDER, "*.pdf"):
        named = _NAME.fullmatch(path.name)
        if named is None or path.is_symlink() or name_of(path.read_bytes()) != named[5]:
            wrong.append(finding("record-edited", Span(f"{shown}/{folder.name}/{KEPT_FOLDER}/{path.name}"),
                                 "this template is not as it was set aside", restore))
        else:
            found.append(KeptTemplate(path, named[2], named[3], named[4]))
    return tuple(found), tuple(wrong)


def shown_templates(kept: Iterable[KeptTemplate], marks: Mapping[str, Iterable[str]],
                    credits: Mapping[str, Mapping[str, str]], now: TutorialState) -> Iterator[KeptTemplate]:
    """Those of these ``marks`` (by system) that may still be handed out.

    ``credits`` are the lines of the credit under which each mark was published last: where licence or
    permission is another now, nobody can tell whether it holds for what was published before, so that is
    withheld.
    """
    for each in kept:
        credit = now.editions[each.system].kinds["credit"]
        if each.mark in marks.get(each.system, ()) and all(
                credits[each.mark].get(name) == credit.get(name) for name in ("licence", "permission")):
            yield each
