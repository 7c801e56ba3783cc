"""Photos made fit for the site: turned upright, without anything but their pixels, in three widths."""
from __future__ import annotations

import io
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

KINDS = {".jpg": "JPEG", ".jpeg": "JPEG", ".png": "PNG", ".webp": "WEBP"}
WIDTHS = (480, 960, 1440)       # pixels: a phone, a wide page, and twice as fine
MOST_BYTES = 30_000_000
MOST_PIXELS = 80_000_000
QUALITY = 80


def is_photo(name: str) -> bool:
    """Whether a file goes by the name of a photo."""
    return Path(name).suffix.lower() in KINDS


def photo_fault(path: Path) -> tuple[str, str] | None:
    """What is wrong with a photo and what would mend it; None for a sound one. No more than its head is trusted."""
    if path.stat().st_size > MOST_BYTES:
        return f"this photo has {path.stat().st_size // 1_000_000} MB", "make it smaller: 2000 pixels across are plenty"
    try:
        with Image.open(path, formats=tuple(set(KINDS.values()))) as photo:
            wide, high = photo.size
            if wide * high > MOST_PIXELS:
                return f"this photo is {wide} × {high} pixels large", "make it smaller: 2000 pixels across are plenty"
            if photo.format != KINDS[path.suffix.lower()]:
                return (f"this file is a {photo.format} picture and calls itself {path.suffix}",
                        "give it the ending of what it is, or save it anew")
            photo.load()
    except (OSError, UnidentifiedImageError, Image.DecompressionBombError, SyntaxError, ValueError):
        return "this file cannot be read as a photo", "save it anew as JPEG, PNG or WebP"
    return None


def clean(path: Path) -> bytes:
    """The photo in its own format, upright, without metadata: no place, no camera, no day, no name."""
    return _clean(path, *_stamp(path))


def narrower(path: Path) -> dict[int, bytes]:
    """The photo as WebP by its width in pixels; the largest is never wider than the photo itself."""
    return _narrower(path, *_stamp(path))


def _stamp(path: Path) -> tuple[int, int]:
    found = path.stat()
    return found.st_mtime_ns, found.st_size


@lru_cache(maxsize=64)
def _clean(path: Path, *stamp: int) -> bytes:
    return _saved(_upright(path), KINDS[path.suffix.lower()])


@lru_cache(maxsize=64)
def _narrower(path: Path, *stamp: int) -> dict[int, bytes]:
    photo = _upright(path)
    return {wide: _saved(_resized(photo, wide), "WEBP") for wide in _widths(photo.width)}


def _widths(own: int) -> Iterator[int]:
    yield from (wide for wide in WIDTHS if wide < own)
    if own <= WIDTHS[-1]:
        yield own


def _resized(photo: Image.Image, wide: int) -> Image.Image:
    high = max(1, round(photo.height * wide / photo.width))
    return photo if wide == photo.width else photo.resize((wide, high), Image.Resampling.LANCZOS)


def _upright(path: Path) -> Image.Image:
    """The pixels alone, in sRGB, the turn that the camera noted carried out."""
    with Image.open(path) as photo:
        profile = photo.info.get("icc_profile")
        turned = ImageOps.exif_transpose(photo)
        mode = "RGBA" if "A" in turned.getbands() or "transparency" in turned.info else "RGB"
        turned = turned.convert(mode)
    bare = Image.frombytes(mode, turned.size, turned.tobytes())
    return _in_srgb(bare, profile) if profile else bare


def _in_srgb(photo: Image.Image, profile: bytes) -> Image.Image:
    """Colours as a screen expects them, since the profile goes with the metadata; as they are where it is broken."""
    try:
        return ImageCms.profileToProfile(photo, ImageCms.ImageCmsProfile(io.BytesIO(profile)),
                                         ImageCms.createProfile("sRGB"), outputMode=photo.mode)
    except (ImageCms.PyCMSError, OSError):
        return photo


def _saved(photo: Image.Image, kind: str) -> bytes:
    out = io.BytesIO()
    if kind == "JPEG":
        photo.convert("RGB").save(out, kind, quality=QUALITY, optimize=True, progressive=True, icc_profile=None)
    elif kind == "PNG":
        photo.save(out, kind, optimize=True, icc_profile=None)
    else:
        photo.save(out, kind, quality=QUALITY, method=4, icc_profile=b"")
    return out.getvalue()
