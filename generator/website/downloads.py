"""Files beside the page of a tutorial, and what the page says of them.

Templates and cutting files to fetch, and the data from which the fold slider's program folds the box.
"""
from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence

from generator.dataclass import dataclass, field
from generator.drawing.folded.slider_data import (
    ANGLE_RESOLUTION,
    PLAN_RESOLUTION,
    SURFACE_RESOLUTION,
    SliderData,
)
from generator.drawing.lettering import with_fractions
from generator.drawing.templates.documents import double_rule
from generator.drawing.templates.page import PRINT_PAPERS, PrintPaper, TemplateFace
from generator.locale import ENGLISH, Locale
from generator.tutorial import Tutorial
from generator.tutorial.template_files import TemplateFile
from generator.units import SYSTEMS
from generator.units.wording import unbroken_figures
from generator.website.navigation import TEMPLATES_FOLDER

DOUBLE_RULE_FILE = "true-size-rule-{}{}.pdf"


# what the page offers at once, as (kind, face); the rest is folded away
OFFERED = (("bundle", ""), ("template", TemplateFace.INSIDE), ("project-sheet", ""),
           ("bench-card", ""), ("bench-card", "left"), ("guide", ""))
HANDS = {("bench-card", ""): "right", ("bench-card", "left"): "left"}


@dataclass(frozen=True, slots=True)
class DownloadLink:
    """A file to fetch; ``url`` from the page of the tutorial, ``hand`` for which hands alone it is.

    ``note`` is what must come out of it, "" where the file says so itself.
    """

    url: str
    words: str
    hand: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class OwnDownloads:
    """What a reader takes who works in one ``system`` and prints on one ``paper``."""

    system: str
    paper: str
    title: str
    links: tuple[DownloadLink, ...]


@dataclass(frozen=True, slots=True)
class DownloadKind:
    """A kind of file, and what it is for."""

    title: str
    purpose: str
    links: tuple[DownloadLink, ...]


@dataclass(frozen=True, slots=True)
class Downloads:
    """What the page offers: first the ``own`` files of each reader, then ``more``, kind by kind."""

    own: tuple[OwnDownloads, ...]
    more: tuple[DownloadKind, ...]

    def __bool__(self) -> bool:
        return bool(self.own or self.more)


def double_rule_files(locale: Locale = ENGLISH) -> Iterator[tuple[str, bytes]]:
    """The double rule for each paper: (address, bytes)."""
    language = "" if locale.code == ENGLISH.code else f"-{locale.code}"
    for paper in PRINT_PAPERS:
        yield DOUBLE_RULE_FILE.format(paper, language), double_rule(paper, locale)


def downloads_of(files: Sequence[TemplateFile], locale: Locale = ENGLISH,
                 folder: str = TEMPLATES_FOLDER) -> Downloads:
    """What the page offers of a tutorial's files; ``folder`` leads to them.

    Of cutting files that is the archive of each edition.
    """
    own = tuple(_own_downloads(system, paper, found, locale, folder)
                for system in SYSTEMS for paper in PRINT_PAPERS
                if (found := [file for kind in OFFERED for file in files
                              if (file.kind, file.face) == kind
                              and (file.system, file.paper) == (system, paper)]))
    more = [file for file in files if (file.kind, file.face) not in OFFERED
            and (file.kind != "cutting" or file.format == "zip")]
    return Downloads(own, tuple(
        _download_kind(key, [file for file in more if _key(file) == key], locale, folder)
        for key in dict.fromkeys(map(_key, more))))


def _key(file: TemplateFile) -> str:
    """Of its words in the catalogue."""
    return "_".join(filter(None, ("file", file.kind.replace("-", "_"), file.face.replace("-", "_"))))


def _own_downloads(system: str, paper: str, files: Sequence[TemplateFile], locale: Locale,
                   folder: str) -> OwnDownloads:
    links = (DownloadLink(f"{folder}/{file.name}",
                          f"{locale.say(f'website.{_key(file)}')}, "
                          f"{locale.count('website.file_pages', file.pages)}",
                          HANDS.get((file.kind, file.face), "")) for file in files)
    return OwnDownloads(system, paper, f"{locale.say(f'website.file_{system}')}, {PrintPaper(paper).title}",
                        tuple(links))


def _download_kind(key: str, files: Sequence[TemplateFile], locale: Locale, folder: str) -> DownloadKind:
    return DownloadKind(locale.say(f"website.{key}"), locale.say(f"website.{key}_for"), tuple(
        DownloadLink(f"{folder}/{file.name}", _file_label(file, locale),
                     note="; ".join(dict.fromkeys(_width_note(held, locale) for held in file.holds)))
        for file in files))


def _width_note(file: TemplateFile, locale: Locale) -> str:
    """How wide a cutting file comes out, and on which sheet it fits."""
    note = (locale.say("website.file_sheet", width=file.width, sheet=file.sheet) if file.sheet
            else locale.say("website.file_width", width=file.width))
    return unbroken_figures(with_fractions(f"{file.stock}: {note}" if file.stock else note))


def _file_label(file: TemplateFile, locale: Locale) -> str:
    """"Inch edition, A4, 3 pages"."""
    rest = ((PrintPaper(file.paper).title, locale.count("website.file_pages", file.pages)) if file.paper
            else (file.format.upper(),))
    return ", ".join((locale.say(f"website.file_{file.system}"), *rest))


SLIDER_FILE = "fold-{}.json"
HASH_DIGITS = 12         # of the hash: a page and the file that it asks for always belong together


@dataclass(frozen=True, slots=True)
class SliderFile:
    """A file beside the page, the same in every language."""

    name: str
    data: bytes
    slides: SliderData


@dataclass(frozen=True, slots=True)
class SliderStop:
    """A place of the slider: what it is called, and the step that leads to it, where one does."""

    words: str
    anchor: str = ""
    number: int = 0


@dataclass(frozen=True, slots=True)
class SliderView:
    """The places from the first to the last, and the place at which each step ends, by step number.

    ``bends`` is True where a piece bends on its way, as no flat panels can.
    """

    name: str
    stops: tuple[SliderStop, ...]
    ends: Mapping[int, int] = field(default_factory=dict)
    bends: bool = False


def slider_file(slides: SliderData | None, view: tuple[float, float]) -> SliderFile | None:
    """The data as JSON; ``view`` is from where the still pictures are seen, in degrees.

    The same plan gives the same bytes.
    """
    if slides is None:
        return None
    content = {"fine": PLAN_RESOLUTION, "coarse": SURFACE_RESOLUTION, "turn": ANGLE_RESOLUTION,
            "view": [round(angle, 2) for angle in view],
            "places": len(slides.steps), "lid": -1 if slides.lid is None else slides.lid,
            "bodies": slides.bodies}
    data = json.dumps(content, separators=(",", ":"), allow_nan=False).encode()
    return SliderFile(SLIDER_FILE.format(hashlib.sha256(data).hexdigest()[:HASH_DIGITS]), data, slides)


def slider_view(file: SliderFile | None, tutorial: Tutorial) -> SliderView | None:
    """What a page says of its places, in its own language."""
    if file is None:
        return None
    steps, words = {step.number: step for step in tutorial.steps}, tutorial.locale
    stops = [SliderStop(words.say("website.fold_flat"))]
    stops += [SliderStop(steps[number].title, steps[number].anchor, number) for number in file.slides.steps]
    if file.slides.lid is not None:
        stops.append(SliderStop(words.say("website.finished")))
    return SliderView(file.name, tuple(stops),
                      {number: place for place, number in enumerate(file.slides.steps, start=1)},
                      any(body["bends"] for body in file.slides.bodies))
