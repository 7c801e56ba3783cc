"""Photos: upright, bare of all but their pixels, in three widths, and refused where they lie."""
from __future__ import annotations

import io
import re

import pytest
from PIL import Image, PngImagePlugin

from generator.language.source import files_beside

PLACE = 0x8825          # Exif: the pointer to the position (GPS)
SECRET = b"Aunt Rosa's kitchen"


def camera(width: int, height: int, turn: int = 6) -> tuple[Image.Image, Image.Exif]:
    """A photo whose left half is red, lying as ``turn`` says (Exif, tag 0x0112), with place and
    description.
    """
    photo = Image.new("RGB", (width, height), "tan")
    photo.paste("red", (0, 0, width // 2, height))
    exif = Image.Exif()
    exif[0x0112], exif[0x010E] = turn, SECRET.decode()
    exif.get_ifd(PLACE)[2] = (48.0, 12.0, 30.0)
    return photo, exif


@pytest.fixture
def photographed(project, edited):
    """The sleeve's photo as a camera makes it: 2000 × 1500, lying on its side, with its place."""
    photo, exif = camera(2000, 1500)
    path = project.source.parent / "strip.jpg"
    photo.save(path, exif=exif, comment=SECRET, quality=90)
    assert SECRET in path.read_bytes() and Image.open(path).getexif().get_ifd(PLACE)
    edited("strip.png", "strip.jpg")
    assert project.build("--strict").exit_code == 0
    return project


def test_nothing_but_pixels_is_published(photographed):
    """No file of the site holds the description or a position; none has Exif, XMP, a comment or a profile."""
    for name, data in photographed.files().items():
        assert SECRET not in data, name
        if name.endswith((".jpg", ".webp", ".png")) and "share" not in name:
            image = Image.open(io.BytesIO(data))
            assert not image.getexif() and not {"exif", "xmp", "comment",
                                                "icc_profile"} & set(image.info), name


def test_photos_stand_upright(photographed):
    """Turn 6 is a quarter to the right (Exif 2.3): what was left is on top, and width and height change
    places.
    """
    image = Image.open(photographed.site / "soap-sleeve/strip.jpg")
    assert image.size == (1500, 2000)
    assert image.getpixel((750, 300))[1] < 60 < 150 < image.getpixel((750, 1700))[1]


def test_the_page_offers_three_widths_and_a_jpeg(photographed):
    """WebP of 480, 960 and 1440 pixels with their true widths, JPEG to fall back on, from page and print
    view.
    """
    for page, folder in (("soap-sleeve/index.html", ""), ("soap-sleeve/print/index.html", "../")):
        picture = photographed.page(page).xpath("//figure[@class='photo']/picture")[-1]
        source, image = picture.find("source"), picture.find(".//img")
        assert source.get("type") == "image/webp" and source.get("sizes")
        found = re.findall(r"(\S+) (\d+)w", source.get("srcset"))
        assert [int(wide) for _, wide in found] == [480, 960, 1440]
        for name, wide in found:
            assert name.startswith(folder + "strip")
            assert Image.open(photographed.site / "soap-sleeve"
                              / name.removeprefix("../")).size[0] == int(wide)
        assert image.get("src") == folder + "strip.jpg"
        assert (image.get("width"), image.get("height")) == ("1500", "2000")


@pytest.mark.parametrize("first", [False, True])
def test_a_photo_of_the_made_box_leads(photographed, edited, first):
    """The last of the last step, or the first of the introduction before it: it stands in the page's head
    in three widths, where the drawing was; on the card and beside the title of the picture that is
    shared.
    """
    name = "made.png" if first else "strip.jpg"
    if first:
        Image.new("RGB", (900, 600), "blue").save(photographed.source.parent / name)
        edited("Soap wants air", f"![The sleeve.]({name} \"Made\")\n\nSoap wants air")
        assert photographed.build("--strict").exit_code == 0
    page = photographed.page("soap-sleeve/index.html")
    (image,) = page.xpath("//header//img")
    assert image.get("src") == name and image.get("width") and page.xpath("//header//source/@srcset")
    assert not page.xpath("//header//*[local-name()='svg'][contains(@class, 'drawing')]")
    assert page.xpath("//figure//img/@src") == [name, "strip.jpg"]
    (card,) = photographed.page("index.html").xpath("//li[@class='card']//img/@src")
    assert card == f"soap-sleeve/{name}"
    with Image.open(photographed.site / "soap-sleeve/share.png") as shared:
        pixels = {shared.convert("RGB").getpixel((900, y)) for y in (40, 590)}
    wanted = [(0, 0, 255)] if first else [(255, 0, 0), (210, 180, 140)]     # CSS: blue, red, tan
    assert all(min(sum(abs(a - b) for a, b in zip(each, seen, strict=True)) for seen in pixels) < 40
               for each in wanted), pixels


def test_a_small_photo_is_not_blown_up(project):
    """40 pixels stay 40, and what a PNG says in words is gone."""
    words = PngImagePlugin.PngInfo()
    words.add_text("Comment", SECRET.decode())
    Image.new("RGB", (40, 30), "tan").save(project.source.parent / "strip.png", pnginfo=words)
    project.build("--strict")
    copies = [name for name in project.files() if name.endswith(".webp")]
    assert copies == ["soap-sleeve/strip-png-40.webp"]
    assert not any(SECRET in data for data in project.files().values())


@pytest.mark.parametrize(("name", "content", "said"), [
    ("strip.png", b"<script>alert(1)</script>", "cannot be read as a photo"),
    ("strip.png", b"", "cannot be read as a photo"),
    ("../pictures/unnamed.jpg", b"\x89PNG\r\n\x1a\n" + b"\0" * 40, "unnamed.jpg")])
def test_what_is_no_photo_is_refused(project, name, content, said):
    """At the line that names it, or by its own name where no tutorial does; nothing is written."""
    (project.source.parents[1] / "pictures").mkdir()
    (project.source.parent / name).write_bytes(content)
    result = project.build()
    assert result.exit_code == 1 and said in result.output and "[photo-wrong]" in result.output
    assert ("soap-sleeve/index.md:2" in result.output) is (name == "strip.png")
    assert not project.site.exists()


def test_a_photo_that_calls_itself_another_kind_is_refused(project):
    """A JPEG named .png is told by its first bytes."""
    Image.new("RGB", (40, 30), "tan").save(project.source.parent / "strip.png", "JPEG")
    result = project.build()
    assert result.exit_code == 1 and "JPEG" in result.output and ".png" in result.output


def test_a_photo_cut_short_is_refused(project):
    """Half a file is found before anything is written."""
    path = project.source.parent / "strip.png"
    Image.effect_noise((300, 300), 80).save(path)
    path.write_bytes(path.read_bytes()[:20_000])
    assert "cannot be read" in project.build().output


def test_absurdly_large_photos_are_refused(project, monkeypatch):
    """Many pixels in few bytes, and many bytes; told from the head, before the pixels are unpacked."""
    path = project.source.parent / "strip.png"
    Image.new("1", (12_000, 8_000)).save(path)
    assert "12000 × 8000" in project.build().output
    monkeypatch.setattr(files_beside, "MOST_BYTES", 100)
    assert "MB" in project.build().output


def test_a_photo_that_is_kept_out_of_the_site_is_not_looked_at(project):
    """As with sources: what mkdocs.yml leaves out may be broken."""
    (project.source.parent.parent / "sketches").mkdir()
    (project.source.parent.parent / "sketches" / "x.png").write_bytes(b"no")
    with (project.root / "mkdocs.yml").open("a", encoding="utf-8") as config:
        config.write("exclude_docs: sketches/\n")
    assert project.build("--strict").exit_code == 0


@pytest.mark.parametrize("size", [(1, 65_000), (16_384, 1), (10_000, 9_000)])
def test_a_photo_of_no_such_size_is_never_decoded(project, size, monkeypatch):
    """WebP has 14 bits for a side (RFC 9649), and a small file may hold a wall of pixels: its head tells."""
    Image.new("1", size).save(project.source.parent / "strip.png")
    monkeypatch.setattr(PngImagePlugin.PngImageFile, "load", lambda _: pytest.fail("decoded"))
    result = project.build()
    assert result.exit_code == 1 and f"this photo is {size[0]} × {size[1]} pixels large" in result.output


def test_a_photo_of_the_largest_sides_is_published(project):
    """What is not refused comes out, in its own format and as WebP."""
    Image.new("RGB", (1, 16_383)).save(project.source.parent / "strip.png")
    assert project.build("--strict").exit_code == 0
    assert {"soap-sleeve/strip.png", "soap-sleeve/strip-png-1.webp"} <= set(project.files())
