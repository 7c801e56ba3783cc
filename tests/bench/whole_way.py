"""A source sent the whole way, and all that comes of it read back by readers that are not ours."""
from __future__ import annotations

import io
import json
import re
from collections import Counter
from collections.abc import Iterable, Mapping
from functools import lru_cache
from pathlib import Path

import ezdxf
import markdown
import pypdfium2
from lxml import etree, html
from PIL import Image

from generator.findings import Finding, render_all
from generator.tutorial import load
from generator.tutorial.derivation import derivation_text
from generator.tutorial.measures import measures_data, measures_table
from generator.units import default_bench
from generator.website.feed import FeedEntry, atom_feed
from generator.website.finished import SourceRequest
from generator.website.tutorial_pages import TutorialPages, worked_out

BENCHES = {system: default_bench(system) for system in ("mm", "in")}
UNSOUND = re.compile(r"(?<![\w.])(?:nan|inf|NaN|Infinity)(?![\w.])")
FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]")


class Lost(AssertionError):
    """What comes of a source is not as it must be."""


def whole_way(folder: Path, reached: Counter[str] | None = None, store: str = "") -> list[str]:
    """Work the source of ``folder``/tutorials/box out and make pages and files of it; the codes of findings.

    ``reached`` counts the stages, ``store`` is a folder that keeps what does not change from one source to
    the next. Raises :class:`Lost`, or whatever error nobody foresaw.
    """
    reached = Counter() if reached is None else reached
    source = folder / "tutorials" / "box" / "index.md"
    work = worked_out(SourceRequest("box/index.md", str(source), "index.md", BENCHES, ("en", "de"),
                                    directory_urls=True, cache=store))
    read_findings(work.pack.findings, work.pack.texts)
    reached["read"] += 1
    for pages in work.pages.values():
        _make_page(pages)
        reached["pages"] += 1
    entries = [FeedEntry(f"https://stall.example/{each.uri}", each.title, each.summary, each.author,
                         "2026-01-01", "2026-01-02") for each in work.pack.entries]
    if entries:
        etree.fromstring(atom_feed(entries, "Boxes", "", "https://stall.example/", "us").encode())
        reached["feed"] += 1
    for files in work.contents.values():
        for name, data in files.items():
            reached[Path(name).suffix[1:]] += 1
            _read_once(Path(name).suffix, data)
    if entries:
        _read_measures(source)
        reached["measures"] += 1
    return [each.code for each in work.pack.findings]


def read_findings(findings: Iterable[Finding], texts: Mapping[str, str]) -> None:
    """Each stands in a source, and can be printed with its line. Raises :class:`Lost`."""
    findings = tuple(findings)
    for each in findings:
        if each.code == "stage-failed":
            raise Lost(each.trace or each.message)
        if not texts.get(each.file):        # of what cannot be read at all
            continue
        rows = texts[each.file].split("\n")
        if not (1 <= each.line <= len(rows) + 1
                and 1 <= each.column <= len(rows[min(each.line, len(rows)) - 1]) + 1
                and each.span.length >= 1):
            raise Lost(f"{each} stands nowhere")
        if UNSOUND.search(f"{each.message} {each.hint}") and not UNSOUND.search(texts[each.file]):
            raise Lost(f"{each} names no number")
    render_all(findings, texts).encode("utf-8", "surrogatepass")


@lru_cache(4000)
def _read_once(suffix: str, data: bytes) -> None:
    """A file that goes with a tutorial can be read by others; what was read before is not read again."""
    match suffix:
        case ".svg":
            etree.fromstring(data)
        case ".pdf":
            document = pypdfium2.PdfDocument(data)
            if len(document) < 1 or min(document[0].get_size()) <= 0:
                raise Lost("a PDF has no page")
            document.close()
        case ".dxf":
            ezdxf.read(io.StringIO(data.decode())).modelspace()
        case ".json":
            json.loads(data, parse_constant=_no_number)
        case ".png":
            Image.open(io.BytesIO(data)).verify()
        case ".txt":
            if FORBIDDEN.search(data.decode()):
                raise Lost("a text holds a sign that nobody sees")


def _no_number(text: str) -> float:
    raise Lost(f"{text} is no number of JSON")


def _make_page(pages: TutorialPages) -> None:
    made = markdown.markdown(pages.markdown, extensions=["toc", "tables", "fenced_code", "attr_list"])
    view = pages.converted(str(pages.filled(pages.sanitized(made))), None)
    for picture in (each for step in view.steps for each in step.pictures):
        etree.fromstring(str(picture.svg))
    for told in pages.howto:
        json.loads(told, parse_constant=_no_number)
    html.fromstring(f"<div>{view.intro}{''.join(str(step.html) for step in view.steps)}</div>")


def _read_measures(source: Path) -> None:
    """What the commands tell of its measures; it is read anew, without folds."""
    loaded = load(source, "index.md", BENCHES, folds=False)
    json.dumps(measures_data(loaded), allow_nan=False)
    if loaded.tutorial is None:
        raise Lost("it is sound with folds, and not without")
    if UNSOUND.search(measures_table(loaded.tutorial)):
        raise Lost("a measure is no number")
    for name in loaded.tutorial.names:
        derivation_text(loaded.tutorial, name)
