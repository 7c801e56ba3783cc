"""The pictures of the gallery: files of their own, which a browser fetches when they are near."""
from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from generator.drawing import stylesheet
from generator.website.pictures import PictureView

CARD_PICTURE = "card.svg"                   # beside the page of a tutorial
STYLE_MARK, WIDE_MARK, HIGH_MARK = "\ue013", "\ue014", "\ue015"     # in what is stored
_NAMES = re.compile(
    r"(?:<title.*?</title>|<desc.*?</desc>)| (?:aria-labelledby|role|width|height)=\"[^\"]*\"",
                    re.S)
_SIZES = re.compile(r' width="([\d.]+)mm" height="([\d.]+)mm"')
_CLASSES, _SELECTED = re.compile(r'class="([^"]*)"'), re.compile(r"\.([a-zA-Z][\w-]*)")
_TITLE = re.compile(r"<title[^>]*>(.*?)</title>", re.S)
_USED, _GIVEN = re.compile(r"var\(--([\w-]+)"), re.compile(r"--([\w-]+):\s*(#[0-9a-fA-F]+)")
_SCHEME = re.compile(r"@media[^{]*prefers-color-scheme:\s*dark[^{]*\{(.*?\})\s*\}", re.S)


def card_file(picture: PictureView) -> bytes:
    """A picture as a file; words are for the page to say, colours for :func:`with_colours`."""
    head, rest = _NAMES.sub("", str(picture.svg)).split(">", 1)
    return f"{head}><style>{_rules(rest)}{STYLE_MARK}</style>{rest}".encode()


def _rules(drawn: str) -> str:
    """The rules of the drawings' stylesheet for the classes that this one uses."""
    classes = {"drawing", *(name for names in _CLASSES.findall(drawn) for name in names.split())}
    return "".join(rule for rule in stylesheet().split("\n")
                   if classes.issuperset(_SELECTED.findall(rule.partition("{")[0])))


def with_colours(drawn: bytes, tokens: str) -> bytes:
    """A file of :func:`card_file` with the colours of the site's own stylesheet, for light and for dark."""
    light, dark = _schemes(tokens)
    used = {name: None for name in _USED.findall(drawn.decode())}
    said = [";".join(f"--{name}:{colours[name]}" for name in used if name in colours)
            for colours in (light, dark)]
    style = f":root{{{said[0]}}}@media(prefers-color-scheme:dark){{:root{{{said[1]}}}}}"
    return drawn.replace(STYLE_MARK.encode(), style.encode())


@cache
def _schemes(tokens: str) -> tuple[Mapping[str, str], Mapping[str, str]]:
    dark = _SCHEME.search(tokens)
    return (dict(_GIVEN.findall(tokens.partition("@media")[0])),
            dict(_GIVEN.findall(dark[1])) if dark else {})


def picture_name(picture: PictureView) -> str:
    """What the picture shows, in words."""
    found = _TITLE.search(str(picture.svg))
    return found[1] if found else ""


def picture_extent(picture: PictureView, scale: float) -> tuple[float, float]:
    """Width and height in mm of what is drawn, as the paper itself has them."""
    found = _SIZES.search(str(picture.svg))
    return (float(found[1]) / scale, float(found[2]) / scale) if found else (0.0, 0.0)
