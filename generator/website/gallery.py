"""The gallery of one language: its cards with their pictures to one scale, and by what it can be narrowed."""
from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

from markupsafe import Markup
from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page

from generator.locale import Locale
from generator.website.filters import filter_choices
from generator.website.finished import HIGH_MARK, STYLE_MARK, WIDE_MARK, GalleryCard
from generator.website.photos import frame_photos

ROOM = (318, 216)           # px: into which the largest picture of a gallery goes, on the narrowest phone too
MAX_CARD_SCALE = 2.0        # px for each mm of the paper
PHOTO_SIZES = "(min-width: 24rem) 19rem, 100vw"        # how wide photos are shown, as CSS has it
_USED, _GIVEN = re.compile(r"var\(--([\w-]+)"), re.compile(r"--([\w-]+):\s*(#[0-9a-fA-F]+)")
_DARK = re.compile(r"@media[^{]*prefers-color-scheme:\s*dark[^{]*\{(.*?\})\s*\}", re.S)


def gallery_context(cards: Sequence[GalleryCard], page: Page, files: Files, locale: Locale) -> dict[str, Any]:
    """What the templates of gallery and shelf show of the cards."""
    scale = min([MAX_CARD_SCALE, *(room / side for card in cards
                                   for room, side in zip(ROOM, card.extent, strict=True) if side)])
    shown = "\n".join(_sized(card, scale) for card in cards)
    return {"cards": Markup(frame_photos(shown, page, files, PHOTO_SIZES)),
            "rows": Markup("\n").join(Markup(card.row) for card in cards),
            "choices": filter_choices((card.traits for card in cards), locale)}


def _sized(card: GalleryCard, scale: float) -> str:
    wide, high = (str(max(1, round(side * scale))) for side in card.extent)
    return card.card.replace(WIDE_MARK, wide).replace(HIGH_MARK, high)


def with_colours(drawn: bytes, tokens: str) -> bytes:
    """A picture of a card with the colours of the site's own stylesheet, for light and for dark."""
    light, dark = _schemes(tokens)
    used = {name: None for name in _USED.findall(drawn.decode())}
    said = [";".join(f"--{name}:{colours[name]}" for name in used if name in colours)
            for colours in (light, dark)]
    style = f":root{{{said[0]}}}@media(prefers-color-scheme:dark){{:root{{{said[1]}}}}}"
    return drawn.replace(STYLE_MARK.encode(), style.encode())


@cache
def _schemes(tokens: str) -> tuple[Mapping[str, str], Mapping[str, str]]:
    dark = _DARK.search(tokens)
    return (dict(_GIVEN.findall(tokens.partition("@media")[0])),
            dict(_GIVEN.findall(dark[1])) if dark else {})
