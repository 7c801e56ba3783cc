"""Whatever stands in titles and settings, each file that is written is read back by a reader not ours."""
from __future__ import annotations

import gzip
import io
import json
import unicodedata
from collections.abc import Callable, Mapping
from pathlib import PurePosixPath
from typing import Any  # what a reader makes is of its own kind
from zipfile import ZipFile

import ezdxf
import pikepdf
import pytest
from lxml import etree, html
from PIL import Image

TITLE = """Sleeve <b>&amp; "soap"</b> ]]> 'n' {1} \\ % — “ß” 😀"""
SITE = "The <i>Saturday</i> & \"Sunday\" ]]> stall 😀"
SVG = "{http://www.w3.org/2000/svg}"
ATOM = {"a": "http://www.w3.org/2005/Atom"}


def read_xml(data: bytes) -> etree._Element:
    """As XML 1.0 (libxml2), no entity resolved, nothing recovered."""
    return etree.fromstring(data, etree.XMLParser(resolve_entities=False, no_network=True, recover=False))


def read_html(data: bytes) -> html.HtmlElement:
    """A page (libxml2's HTML reader), with every drawing and every record in it read by itself."""
    text = data.decode("utf-8")
    root = html.document_fromstring(data, parser=html.HTMLParser(encoding="utf-8"))
    at = 0
    while (at := text.find("<svg", at)) >= 0:       # as written, since the reader of HTML forgives
        end = text.index("</svg>", at) + len("</svg>")
        read_xml(text[at:end].encode())
        at = end
    for script in root.xpath("//script[@type='application/ld+json']/text()"):
        json.loads(script, parse_constant=refuse)
    return root


def refuse(constant: str) -> None:
    """NaN and infinities are no JSON (RFC 8259, 6)."""
    raise ValueError(constant)


def read_picture(data: bytes) -> None:
    with Image.open(io.BytesIO(data)) as picture:
        picture.load()


def read_pdf(data: bytes) -> pikepdf.Pdf:
    document = pikepdf.open(io.BytesIO(data))
    assert not document.check_pdf_syntax()
    return document


def read_dxf(data: bytes) -> ezdxf.document.Drawing:
    document = ezdxf.read(io.StringIO(data.decode("utf-8")))
    assert not document.audit().errors
    return document


def read_text(data: bytes) -> str:
    """UTF-8 without control characters."""
    text = data.decode("utf-8-sig")
    assert not {each for each in text if unicodedata.category(each) in ("Cc", "Cs") and each not in "\n\t"}
    return text


def read_archive(data: bytes) -> Mapping[str, Any]:
    """Each file in it by its own reader, its sums right."""
    with ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
        return read_back({name: archive.read(name) for name in archive.namelist()})


READERS: dict[str, Callable[[bytes], object]] = {
    ".html": read_html, ".xml": read_xml, ".svg": read_xml, ".pdf": read_pdf, ".dxf": read_dxf,
    ".zip": read_archive,
    ".json": lambda data: json.loads(data, parse_constant=refuse),
    ".gz": lambda data: read_xml(gzip.decompress(data)),
    ".png": read_picture, ".webp": read_picture, ".jpg": read_picture, ".txt": read_text, ".css": read_text,
    ".js": read_text, ".woff": lambda data: data.index(b"wOFF")}


def read_back(files: Mapping[str, bytes]) -> dict[str, Any]:
    """What a reader of its kind makes of each file, by its name; that of one that cannot be read is told."""
    read = {}
    for name, data in files.items():
        try:
            read[name] = READERS[PurePosixPath(name).suffix](data)
        except Exception as wrong:
            raise AssertionError(f"{name}: {wrong}") from wrong
    return read


def quoted(text: str) -> str:
    """As YAML writes it between double quotes."""
    return json.dumps(text, ensure_ascii=False)


@pytest.fixture
def strange(project, edited):
    """A site of strange words, with a feed."""
    for old, new in (("title: Sleeve for a bar of soap",
                      f"title: {quoted(TITLE)}\npublished: 2026-03-01"),
                     ("summary: A sleeve with a seam that nobody sees.", f"summary: {quoted(TITLE)}"),
                     ("time: 20 min", f"time: 20 min\ncredit: {{author: {quoted(TITLE)}}}"
                      f"\nnames: {{strip: {quoted(SITE)}}}"),
                     ("## Cut the strip", "## Cut <sup>&</sup> the \"strip\" ]]> 😀")):
        edited(old, new)
    config = project.root / "mkdocs.yml"
    text = config.read_text(encoding="utf-8")
    for key in ("site_description", "site_author", "copyright"):
        text += f"{key}: {quoted(SITE)}\n"
    config.write_text(text.replace("The Saturday stall", quoted(SITE)), encoding="utf-8")
    return project


def test_every_file_of_a_site_of_strange_words_is_read_back(strange):
    """XML, SVG, HTML with the drawings in it, JSON, PDF, DXF, pictures; and the title is the same in all."""
    result = strange.build()
    assert result.exit_code == 0, result.output
    read = read_back(strange.files())
    assert {PurePosixPath(name).suffix for name in read} == {*READERS} - {".jpg"}
    page = read["soap-sleeve/index.html"]
    assert TITLE in page.xpath("string(//h1)") and TITLE in page.findtext(".//title")
    (data,) = page.xpath("//script[@type='application/ld+json']/text()")
    assert json.loads(data)["name"] == TITLE
    feed = read["feed.xml"]
    assert feed.xpath("string(a:entry/a:title)", namespaces=ATOM) == TITLE
    assert feed.xpath("string(a:title)", namespaces=ATOM) == SITE
    assert TITLE in read["soap-sleeve/templates/soap-sleeve-mm-cutting.svg"].findtext(f"{SVG}title")
    assert TITLE in str(read["soap-sleeve/templates/soap-sleeve-mm-a4.pdf"].docinfo["/Title"])
    assert TITLE in json.dumps(read["search.json"],
                               ensure_ascii=False).replace("\\\"", '"').replace("\\\\", "\\")
    assert TITLE in read["soap-sleeve/measures.txt"]
