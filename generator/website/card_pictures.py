"""The pictures of the gallery: files of their own, which a browser fetches when they are near."""
from __future__ import annotations

import re
from html import unescape

from generator.drawing.backends.stylesheet import stylesheet
from generator.drawing.paper_colours import colour_sheet
from generator.website.finished import STYLE_MARK
from generator.website.pictures import PictureView

_NAMES = re.compile(r' (?:aria-label|role|width|height)="[^"]*"')
_SIZES = re.compile(r' width="([\d.]+)mm" height="([\d.]+)mm"')
_CLASSES, _SELECTED = re.compile(r'class="([^"]*)"'), re.compile(r"\.([a-zA-Z][\w-]*)")
_NAME = re.compile(r' aria-label="([^"]*)"')


def card_file(picture: PictureView) -> bytes:
    """A picture as a file; its words stand on the page, its colours are put in when it is written."""
    head, rest = str(picture.svg).split(">", 1)
    head = _NAMES.sub("", head)
    return f"{head}><style>{_rules(rest)}{STYLE_MARK}{colour_sheet(rest)}</style>{rest}".encode()


def _rules(drawn: str) -> str:
    """The rules of the drawings' stylesheet for the classes that this one uses."""
    classes = {"drawing", *(name for names in _CLASSES.findall(drawn) for name in names.split())}
    return "".join(rule for rule in stylesheet().split("\n")
                   if classes.issuperset(_SELECTED.findall(rule.partition("{")[0])))


def picture_name(picture: PictureView) -> str:
    """What the picture shows, in words."""
    found = _NAME.search(str(picture.svg))
    return unescape(found[1]) if found else ""


def picture_extent(picture: PictureView, scale: float) -> tuple[float, float]:
    """Width and height in mm of what is drawn, as the paper itself has them."""
    found = _SIZES.search(str(picture.svg))
    return (float(found[1]) / scale, float(found[2]) / scale) if found else (0.0, 0.0)
