"""The tutorials of the site, read and evaluated: the one place where the website meets ``generator.tutorial``."""
from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from generator.findings import Finding
from generator.tutorial import Tutorial, load, overview, pictures
from generator.tutorial.sheet_plans import sheet_plans
from generator.tutorial.templates import TemplateSet, template_files
from generator.units import Bench
from generator.website.guides import GuidesView, guides_view
from generator.website.pictures import PictureView, card_view, picture_view
from generator.website.sheets import SheetView, sheet_view

SOURCE = "index.md"


@dataclass(frozen=True, slots=True)
class Shelved:
    """One tutorial with its pictures: ``steps`` by step number, ``overview`` one for each piece, ``front`` for the gallery.

    ``templates`` are the files that go with it, ``sheets`` what it is cut from,
    ``guides`` what curves may be traced with.
    """

    tutorial: Tutorial
    steps: Mapping[int, tuple[PictureView, ...]]
    overview: tuple[PictureView, ...]
    front: PictureView | None
    templates: TemplateSet = TemplateSet()
    sheets: tuple[SheetView, ...] = ()
    guides: GuidesView | None = None


@dataclass(frozen=True, slots=True)
class Shelf:
    """Everything that was read, by the source's address below the tutorials ("caddy/index.md")."""

    tutorials: Mapping[str, Shelved] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    sources: Mapping[str, str] = field(default_factory=dict)    # what findings quote, by file as shown

    def findings_of(self, file: str) -> tuple[Finding, ...]:
        """What was found in one file."""
        return tuple(f for f in self.findings if f.file == file)


def sources_below(folder: Path, wanted: Callable[[str], bool]) -> Iterator[str]:
    """The address of every tutorial: a folder that has an index.md, hidden ones left out."""
    for path in sorted(folder.glob(f"*/{SOURCE}")):
        address = path.relative_to(folder).as_posix()
        if not address.startswith(".") and wanted(address):
            yield address


def read_shelf(folder: Path, addresses: Iterable[str], shown: Callable[[Path], str],
               benches: Mapping[str, Bench]) -> Shelf:
    """Evaluate all tutorials, whatever is wrong with one of them; ``shown`` says how a file is named in messages."""
    tutorials, findings, sources = {}, [], {}
    for address in addresses:
        path = folder / address
        loaded = load(path, shown(path), benches)
        findings += loaded.findings
        sources[shown(path)] = loaded.source
        if loaded.tutorial is not None:
            tutorials[address] = _shelved(loaded.tutorial, f"card-{len(tutorials) + 1}")
            findings += tutorials[address].templates.findings
    return Shelf(tutorials, tuple(findings), sources)


def _shelved(tutorial: Tutorial, key: str) -> Shelved:
    """Draw everything now: whatever could fail does so before anything is written. ``key`` is unique in the gallery."""
    whole = overview(tutorial)
    steps = {number: tuple(map(picture_view, drawn)) for number, drawn in pictures(tutorial).items()}
    return Shelved(tutorial, steps, tuple(map(picture_view, whole)), card_view(whole[0], key) if whole else None,
                   template_files(tutorial), tuple(sheet_view(plan, f"stock-{k}")
                                                  for k, plan in enumerate(sheet_plans(tutorial), start=1)),
                   guides_view(tutorial))
