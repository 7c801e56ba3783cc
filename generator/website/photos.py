"""Photos in the converted text: a frame with a caption, and the size that keeps the page from jumping."""
from __future__ import annotations

import posixpath
import re
from urllib.parse import unquote

from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page
from PIL import Image, UnidentifiedImageError

_ALONE = re.compile(r"<p>\s*(<img\b[^>]*>)\s*</p>")
_IMG = re.compile(r"<img\b([^>]*?)\s*/?>")
_ATTRIBUTE = re.compile(r'\b(src|title|width)="([^"]*)"')
ORIENTATION, SIDEWAYS = 0x0112, 5       # Exif: from 5 on, width and height change places


def framed(html: str, page: Page, files: Files) -> str:
    """Every picture with its size; one that is a paragraph by itself becomes a figure, its title the caption."""
    by_address = {file.dest_uri: file for file in files.media_files()}
    folder = posixpath.dirname(page.file.dest_uri)

    def sized(found: re.Match[str]) -> str:
        attributes = dict(_ATTRIBUTE.findall(found[1]))
        file = by_address.get(posixpath.normpath(posixpath.join(folder, unquote(attributes.get("src", "")))))
        size = _size(file.abs_src_path) if file and file.abs_src_path and "width" not in attributes else None
        return f"<img{found[1]}" + (f' width="{size[0]}" height="{size[1]}"' if size else "") + ">"

    return _ALONE.sub(_figure, _IMG.sub(sized, html))


def _figure(found: re.Match[str]) -> str:
    img = found[1]
    title = dict(_ATTRIBUTE.findall(img)).get("title", "")
    caption = f"<figcaption>{title}</figcaption>" if title else ""
    return f'<figure class="photo">{img.replace(f" title={chr(34)}{title}{chr(34)}", "")}{caption}</figure>'


def _size(path: str) -> tuple[int, int] | None:
    """Width and height in pixels as shown; None for what is no photo, such as an SVG."""
    try:
        with Image.open(path) as photo:
            turned = photo.getexif().get(ORIENTATION, 1) >= SIDEWAYS
            return photo.size[::-1] if turned else photo.size
    except (OSError, UnidentifiedImageError):
        return None
