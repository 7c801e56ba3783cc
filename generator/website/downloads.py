"""Files beside the page of a tutorial, and what the page says of them.

Templates and cutting files to fetch, and the data from which the fold slider's program folds the box.
"""
from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from generator.drawing.folded.slider_data import (
    ANGLE_RESOLUTION,
    PLAN_RESOLUTION,
    SURFACE_RESOLUTION,
    SliderData,
)
from generator.drawing.templates.documents import double_rule
from generator.drawing.templates.page import PRINT_PAPERS, PrintPaper
from generator.locale import ENGLISH, Locale
from generator.tutorial import Tutorial
from generator.tutorial.template_files import TemplateFile
from generator.units import SYSTEMS
from generator.website.navigation import TEMPLATES_FOLDER

DOUBLE_RULE_FILE = "true-size-rule-{}{}.pdf"


@dataclass(frozen=True, slots=True)
class DownloadLink:
    """A file to fetch; ``url`` from the page of the tutorial, ``paper`` what it is printed on."""

    url: str
    words: str
    paper: str = ""


@dataclass(frozen=True, slots=True)
class EditionDownloads:
    """One edition's files of one kind; of cutting files those for one paper.

    ``note`` is what must come out of them, "" where the file says so itself.
    """

    edition: str
    links: tuple[DownloadLink, ...]
    note: str = ""
    system: str = ""


@dataclass(frozen=True, slots=True)
class DownloadKind:
    """A kind of file, and what it is for."""

    title: str
    purpose: str
    offers: tuple[EditionDownloads, ...]


def double_rule_files(locale: Locale = ENGLISH) -> Iterator[tuple[str, bytes]]:
    """The double rule for each paper: (address, bytes)."""
    language = "" if locale.code == ENGLISH.code else f"-{locale.code}"
    for paper in PRINT_PAPERS:
        yield DOUBLE_RULE_FILE.format(paper, language), double_rule(paper, locale)


def download_kinds(files: Sequence[TemplateFile], locale: Locale = ENGLISH,
                   folder: str = TEMPLATES_FOLDER) -> tuple[DownloadKind, ...]:
    """What the page offers, kind by kind, in the order in which the files were made.

    ``folder`` leads to them.
    """
    kinds = dict.fromkeys((file.kind, file.face) for file in files)
    return tuple(_download_kind(kind, face, [f for f in files if (f.kind, f.face) == (kind, face)], locale,
                                folder) for kind, face in kinds)


def _download_kind(kind: str, face: str, files: Sequence[TemplateFile], locale: Locale,
                   folder: str) -> DownloadKind:
    key = "_".join(filter(None, ("file", kind.replace("-", "_"), face.replace("-", "_"))))
    offers = tuple(_edition_downloads([f for f in files if (f.system, f.stock) == of], locale, folder)
                   for of in dict.fromkeys((f.system, f.stock) for system in SYSTEMS
                                           for f in files if f.system == system))
    return DownloadKind(locale.say(f"website.{key}"), locale.say(f"website.{key}_for"), offers)


def _edition_downloads(files: Sequence[TemplateFile], locale: Locale, folder: str) -> EditionDownloads:
    first = files[0]
    note = locale.say("website.file_width", width=first.width) if first.width else ""
    if first.sheet:
        note = locale.say("website.file_sheet", width=first.width, sheet=first.sheet)
    edition = locale.say(f"website.file_{first.system}")
    return EditionDownloads(", ".join(filter(None, (edition, first.stock))),
                            tuple(DownloadLink(f"{folder}/{file.name}", _file_label(file, locale), file.paper)
                                  for file in files), note, first.system)


def _file_label(file: TemplateFile, locale: Locale) -> str:
    if not file.paper:
        return file.format.upper()
    pages = locale.count("website.file_pages", file.pages)
    return f"{PrintPaper(file.paper).title}, {pages}"


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
