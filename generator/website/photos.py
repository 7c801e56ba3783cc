"""Photos made fit for the site: turned upright, without anything but their pixels, in three widths.

Which photos the site has: all below the tutorials, each looked at before anything is written.

Photos in the converted text: a frame with a caption, a choice of widths, and the size that keeps the page
from jumping.
"""
from __future__ import annotations

import io
import posixpath
import re
from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache
from pathlib import Path, PurePosixPath
from urllib.parse import quote, unquote

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page
from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from generator.findings import Finding, Span
from generator.language.source.files_beside import PHOTO_FORMATS, READ_FORMATS, is_photo, photo_findings
from generator.website.finished import TutorialEntry
from generator.website.navigation import UNPUBLISHED

PHOTO_WIDTHS = (480, 960, 1440)       # pixels: a phone, a wide page, and twice as fine
SAVE_QUALITY = 80


def clean_photo(path: Path) -> bytes:
    """The photo in its own format, upright, without metadata: no place, no camera, no day, no name."""
    return _clean_photo(path, *_file_stamp(path))


def narrower_copies(path: Path) -> dict[int, bytes]:
    """The photo as WebP by its width in pixels; the largest is never wider than the photo itself."""
    return _narrower_copies(path, *_file_stamp(path))


def _file_stamp(path: Path) -> tuple[int, int]:
    found = path.stat()
    return found.st_mtime_ns, found.st_size


@lru_cache(maxsize=64)
def _clean_photo(path: Path, *_stamp: int) -> bytes:
    return _encoded(_upright(path), PHOTO_FORMATS[path.suffix.lower()])


@lru_cache(maxsize=64)
def _narrower_copies(path: Path, *_stamp: int) -> dict[int, bytes]:
    photo = _upright(path)
    return {wide: _encoded(_resized(photo, wide), "WEBP") for wide in _photo_widths(photo.width)}


def _photo_widths(own: int) -> Iterator[int]:
    yield from (wide for wide in PHOTO_WIDTHS if wide < own)
    if own <= PHOTO_WIDTHS[-1]:
        yield own


def _resized(photo: Image.Image, wide: int) -> Image.Image:
    high = max(1, round(photo.height * wide / photo.width))
    return photo if wide == photo.width else photo.resize((wide, high), Image.Resampling.LANCZOS)


def _upright(path: Path) -> Image.Image:
    """The pixels alone, in sRGB, the turn that the camera noted carried out."""
    with Image.open(path, formats=READ_FORMATS) as photo:
        profile = photo.info.get("icc_profile")
        ImageOps.exif_transpose(photo, in_place=True)
        mode = "RGBA" if "A" in photo.getbands() or "transparency" in photo.info else "RGB"
        bare = Image.new(mode, photo.size)
        bare.paste(photo.convert(mode) if photo.mode != mode else photo)
    return _in_srgb(bare, profile) if profile else bare


def _in_srgb(photo: Image.Image, profile: bytes) -> Image.Image:
    """Colours as a screen expects them, since the profile goes with the metadata.

    As they are where it is broken.
    """
    try:
        converted = ImageCms.profileToProfile(photo, ImageCms.ImageCmsProfile(io.BytesIO(profile)),
                                              ImageCms.createProfile("sRGB"), outputMode=photo.mode)
        return converted or photo       # it is None only for conversion in place
    except (ImageCms.PyCMSError, OSError):
        return photo


def _encoded(photo: Image.Image, kind: str) -> bytes:
    out = io.BytesIO()
    if kind == "JPEG":
        photo.convert("RGB").save(out, kind, quality=SAVE_QUALITY, optimize=True, progressive=True,
                                  icc_profile=None)
    elif kind == "PNG":
        photo.save(out, kind, optimize=True, icc_profile=None)
    else:
        photo.save(out, kind, quality=SAVE_QUALITY, method=4, icc_profile=b"")
    return out.getvalue()


def site_photo_findings(folder: Path, entries: Mapping[str, TutorialEntry], shown: Callable[[Path], str],
                        wanted: Callable[[str], bool]) -> Iterator[Finding]:
    """Photos that are not what they say, or far too large.

    Each where its tutorial names it, else by its own name.
    """
    others = {path: Span(shown(path)) for path in sorted(folder.rglob("*"))
              if is_photo(path.name) and wanted(path.relative_to(folder).as_posix())}
    named = {folder / PurePosixPath(uri).parent / unquote(src): span
             for uri, entry in entries.items() for src, span in entry.photos}
    yield from photo_findings(others | named)


def replace_photos(files: Files, config: MkDocsConfig) -> None:
    """Put the clean photo in the place of each original, and its narrower copies beside it."""
    for file in list(files.media_files()):
        if file.abs_src_path and is_photo(file.src_uri) and file.inclusion not in UNPUBLISHED:
            path = Path(file.abs_src_path)
            files.remove(file)
            files.append(File.generated(config, file.src_uri, content=clean_photo(path)))
            for wide, data in narrower_copies(path).items():
                files.append(File.generated(config, copy_address(file.src_uri, wide), content=data))


def copy_address(address: str, wide: int) -> str:
    """Where a narrower copy stands: "strip.jpg" as "strip-480.webp".

    The ending stays where names would be alike.
    """
    stem, _, suffix = address.rpartition(".")
    return f"{stem}-{suffix}-{wide}.webp"


_LONE_IMAGE = re.compile(r"<p>\s*((?:<picture>.*?)?<img\b[^>]*>(?:</picture>)?)\s*</p>")
_IMG_TAG = re.compile(r"<img\b([^>]*?)\s*/?>")
_ATTRIBUTE = re.compile(r'\b(src|title|width)="([^"]*)"')
_COPY_WIDTH = re.compile(r"-(\d+)\.webp\Z")
DISPLAY_SIZES = "(min-width: 60rem) 38rem, 100vw"


def frame_photos(html: str, page: Page, files: Files, sizes: str = DISPLAY_SIZES) -> str:
    """Every picture with its size and widths.

    One that is a paragraph by itself becomes a figure, its title the caption. ``sizes`` say how wide they are
    shown, as CSS has it.
    """
    if "<img" not in html:
        return html
    by_address = {file.dest_uri: file for file in files.media_files()}
    folder = posixpath.dirname(page.file.dest_uri)

    def sized(found: re.Match[str]) -> str:
        attributes = dict(_ATTRIBUTE.findall(found[1]))
        src = attributes.get("src", "")
        file = by_address.get(posixpath.normpath(posixpath.join(folder, unquote(src))))
        size = _pixel_size(file) if file and "width" not in attributes else None
        img = f"<img{found[1]}" + (f' width="{size[0]}" height="{size[1]}"' if size else "") + ">"
        widths = _copy_widths(file, by_address) if file else []
        return _picture_element(img, src, widths, sizes) if widths else img

    return _LONE_IMAGE.sub(_figure_html, _IMG_TAG.sub(sized, html))


def _picture_element(img: str, src: str, widths: list[int], sizes: str) -> str:
    copies = ", ".join(f"{quote(copy_address(unquote(src), wide), safe='/-._~')} {wide}w" for wide in widths)
    return f'<picture><source type="image/webp" srcset="{copies}" sizes="{sizes}">{img}</picture>'


def _copy_widths(file: File, by_address: Mapping[str, File]) -> list[int]:
    """The widths in which a photo is there."""
    stem = copy_address(file.dest_uri, 0).removesuffix("0.webp")
    return sorted(int(found[1]) for name in by_address if name.startswith(stem)
                  and (found := _COPY_WIDTH.search(name)))


def _figure_html(found: re.Match[str]) -> str:
    img = found[1]
    title = dict(_ATTRIBUTE.findall(img)).get("title", "")
    caption = f"<figcaption>{title}</figcaption>" if title else ""
    return f'<figure class="photo">{img.replace(f" title={chr(34)}{title}{chr(34)}", "")}{caption}</figure>'


def _pixel_size(file: File) -> tuple[int, int] | None:
    """Width and height in pixels; None for what is no photo, such as an SVG."""
    try:
        with Image.open(io.BytesIO(file.content_bytes), formats=READ_FORMATS) as photo:
            return photo.size
    except (OSError, UnidentifiedImageError):
        return None
