"""The tutorials of the site, read and evaluated.

The one place where the website meets ``generator.tutorial``.
"""
from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, MutableMapping
from dataclasses import dataclass, field
from pathlib import Path

from generator.drawing.folded.slider_data import SliderData, slider_data
from generator.findings import Finding
from generator.tutorial import Tutorial, load
from generator.tutorial.batch_supplies import sheet_plans
from generator.tutorial.template_files import TemplateSet
from generator.units import Bench
from generator.website.build_cache import CachedResults, cached_results_for, cached_templates
from generator.website.downloads import SliderFile, slider_file
from generator.website.guides import GuidesView, guides_view
from generator.website.navigation import translated_uri
from generator.website.pictures import (
    FoldedPictures,
    PictureView,
    folded_pictures,
    overview,
    picture_view,
    pictures,
)
from generator.website.sheets import SheetView, sheet_view

SOURCE_FILE = "index.md"


@dataclass(frozen=True, slots=True)
class RenderedTutorial:
    """One tutorial with its pictures.

    ``steps`` by step number, ``overview`` one for each piece, ``front`` for the gallery.

    ``templates`` are the files that go with it, ``sheets`` what it is cut from,
    ``guides`` what curves may be traced with, ``slider`` the way from flat to finished.
    """

    tutorial: Tutorial
    steps: Mapping[int, tuple[PictureView, ...]]
    overview: tuple[PictureView, ...]
    front: PictureView | None
    templates: TemplateSet = TemplateSet()
    sheets: tuple[SheetView, ...] = ()
    guides: GuidesView | None = None
    shapes: FoldedPictures = FoldedPictures()
    slider: SliderFile | None = None
    cached: CachedResults = CachedResults()


@dataclass(frozen=True, slots=True)
class TutorialCollection:
    """Everything that was read, by the source's address below the tutorials: "caddy/index.de.md"."""

    tutorials: Mapping[str, RenderedTutorial] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    sources: Mapping[str, str] = field(default_factory=dict)    # what findings quote, by file as shown

    def findings_of(self, file: str) -> tuple[Finding, ...]:
        """What was found in one file."""
        return tuple(f for f in self.findings if f.file == file)


def source_addresses(folder: Path, wanted: Callable[[str], bool]) -> Iterator[str]:
    """The address of every tutorial: a folder that has an index.md, hidden ones left out."""
    for path in sorted(folder.glob(f"*/{SOURCE_FILE}")):
        address = path.relative_to(folder).as_posix()
        if not address.startswith(".") and wanted(address):
            yield address


def read_tutorials(folder: Path, addresses: Iterable[str], shown: Callable[[Path], str],
               benches: Mapping[str, Bench],
               cache: MutableMapping[str, bytes] | None = None) -> TutorialCollection:
    """Evaluate all tutorials, whatever is wrong with one of them.

    ``shown`` says how a file is named in messages.
    """
    tutorials: dict[str, RenderedTutorial] = {}
    findings: list[Finding] = []
    sources: dict[str, str] = {}
    for address in addresses:
        path = folder / address
        loaded = load(path, shown(path), benches, cache)
        findings += loaded.findings
        sources |= {shown(path): loaded.source, **loaded.texts}
        if loaded.tutorial is not None:
            way = slider_data(loaded.tutorial.drawn, loaded.tutorial.drawn_fold, cache)
            for version in (loaded.tutorial, *loaded.translations.values()):
                uri = translated_uri(address, version.locale.code)
                cached = cached_results_for((uri, loaded.source, *loaded.texts.values()), benches, folder,
                                            cache)
                tutorials[uri] = _rendered_tutorial(version, f"card-{len(tutorials) + 1}", way, cached)
                findings += tutorials[uri].templates.findings
    return TutorialCollection(tutorials, tuple(findings), sources)


def _rendered_tutorial(tutorial: Tutorial, key: str, way: SliderData | None,
                       cached: CachedResults) -> RenderedTutorial:
    """Draw everything now: whatever could fail does so before anything is written.

    ``key`` is unique in the gallery.
    """
    whole, locale = overview(tutorial), tutorial.locale
    result = folded_pictures(tutorial, whole, key)
    steps = {number: tuple(picture_view(picture, locale=locale) for picture in drawn)
             for number, drawn in pictures(tutorial).items()}
    sheets = tuple(sheet_view(plan, f"stock-{k}", locale) for k,
                   plan in enumerate(sheet_plans(tutorial), start=1))
    return RenderedTutorial(tutorial, steps, tuple(picture_view(picture, locale=locale) for picture in whole),
                            result.front, cached_templates(tutorial, cached), sheets,
                            guides_view(tutorial, locale), result, slider_file(way, result.view), cached)
