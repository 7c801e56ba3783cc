"""Photos in the converted text: a frame with a caption, a choice of widths, and the size that keeps the page from jumping."""
from __future__ import annotations

import io
import posixpath
import re
from collections.abc import Mapping
from urllib.parse import quote, unquote

from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page
from PIL import Image, UnidentifiedImageError

from generator.website.darkroom import copy_of

_ALONE = re.compile(r"<p>\s*((?:<picture>.*?)?<img\b[^>]*>(?:</picture>)?)\s*</p>")
_IMG = re.compile(r"<img\b([^>]*?)\s*/?>")
_ATTRIBUTE = re.compile(r'\b(src|title|width)="([^"]*)"')
_WIDTH = re.compile(r"-(\d+)\.webp\Z")
SIZES = "(min-width: 60rem) 38rem, 100vw"


def framed(html: str, page: Page, files: Files) -> str:
    """Every picture with its size and widths; one that is a paragraph by itself becomes a figure, its title the caption."""
    by_address = {file.dest_uri: file for file in files.media_files()}
    folder = posixpath.dirname(page.file.dest_uri)

    def sized(found: re.Match[str]) -> str:
        attributes = dict(_ATTRIBUTE.findall(found[1]))
        src = attributes.get("src", "")
        file = by_address.get(posixpath.normpath(posixpath.join(folder, unquote(src))))
        size = _size(file) if file and "width" not in attributes else None
        img = f"<img{found[1]}" + (f' width="{size[0]}" height="{size[1]}"' if size else "") + ">"
        widths = _widths(file, by_address) if file else []
        return _choice(img, src, widths) if widths else img

    return _ALONE.sub(_figure, _IMG.sub(sized, html))


def _choice(img: str, src: str, widths: list[int]) -> str:
    copies = ", ".join(f"{quote(copy_of(unquote(src), wide), safe='/-._~')} {wide}w" for wide in widths)
    return f'<picture><source type="image/webp" srcset="{copies}" sizes="{SIZES}">{img}</picture>'


def _widths(file: File, by_address: Mapping[str, File]) -> list[int]:
    """The widths in which a photo is there."""
    stem = copy_of(file.dest_uri, 0).removesuffix("0.webp")
    return sorted(int(found[1]) for name in by_address if name.startswith(stem) and (found := _WIDTH.search(name)))


def _figure(found: re.Match[str]) -> str:
    img = found[1]
    title = dict(_ATTRIBUTE.findall(img)).get("title", "")
    caption = f"<figcaption>{title}</figcaption>" if title else ""
    return f'<figure class="photo">{img.replace(f" title={chr(34)}{title}{chr(34)}", "")}{caption}</figure>'


def _size(file: File) -> tuple[int, int] | None:
    """Width and height in pixels; None for what is no photo, such as an SVG."""
    try:
        with Image.open(io.BytesIO(file.content_bytes)) as photo:
            return photo.size
    except (OSError, UnidentifiedImageError):
        return None
