"""What others are told: structured data, the feed, the picture to share, and the policy of the pages."""
from __future__ import annotations

import io
import json
import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree
from PIL import Image, ImageDraw, ImageFont

from generator.drawing.style import PALETTE
from generator.drawing.typeface import REGULAR
from generator.website.feed import ATOM_NAMESPACE, FeedEntry, atom_feed
from generator.website.page_metadata import howto_data, howto_json_ld, iso_duration
from generator.website.share_picture import MARGIN, SHARE_HEIGHT, SHARE_WIDTH, TITLE_HEIGHT, share_picture
from tests.time_limits import examples
from tests.website.sample_tutorial import CADDY, FRONT

SITE = "https://stall.example/boxes/"
RFC3339 = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ\Z")     # RFC 3339, 5.6, as far as a whole day needs it
NAMES = {"a": ATOM_NAMESPACE}


def dated(url: str, published: str = "", changed: str = "") -> FeedEntry:
    return FeedEntry(url, FRONT.title, FRONT.summary, published=published, changed=changed or published)


def test_structured_data_has_what_the_vocabulary_asks_for():
    """schema.org/HowTo: name, steps with position and place, tools, supplies, and the time as ISO 8601."""
    data = howto_data(CADDY, "en", SITE + "tea-caddy/", None)
    assert (data["@context"], data["@type"], data["name"]) == ("https://schema.org", "HowTo",
                                                               "Eight-sided tea caddy")
    assert data["totalTime"] == "PT1H20M" and "image" not in data
    assert [step["@type"] for step in data["step"]] == ["HowToStep"] * 4
    assert [step["position"] for step in data["step"]] == [1, 2, 3, 4]
    assert data["step"][0]["name"] == "Cut the strip"
    assert data["step"][1]["url"] == SITE + "tea-caddy/#score-the-panels"
    assert data["license"] == "https://creativecommons.org/licenses/by/4.0/"
    assert data["tool"] == [{"@type": "HowToTool", "name": "Trimmer"}]
    assert data["supply"][0]["name"].startswith("card, 10 1/2 in")


@given(st.text(max_size=60))
@settings(deadline=None, max_examples=examples(80))
def test_no_title_ends_the_script_element(title):
    """Whatever an author writes, the block holds no < and reads back the same."""
    text = howto_json_ld(replace(CADDY, front=replace(FRONT, title=title + "</script><!--")), "en", None,
                         None)
    assert "<" not in text and json.loads(text)["name"] == title + "</script><!--"


@given(st.integers(1, 5000))
def test_a_period_reads_back(minutes):
    """ISO 8601: hours and minutes of PT…H…M are the minutes again."""
    found = re.fullmatch(r"PT(?:(\d+)H)?(?:(\d+)M)?", iso_duration(minutes))
    assert int(found[1] or 0) * 60 + int(found[2] or 0) == minutes


def test_a_feed_has_what_atom_asks_for():
    """RFC 4287, 4.1.1 and 4.1.2: id, title, updated of feed and entries, an author, a link to itself; newest
    first.
    """
    entries = [dated(SITE + "a/", "2026-05-09"), dated(SITE + "b/", "2026-05-02", "2026-06-13"),
               dated(SITE + "c/")]
    root = etree.fromstring(atom_feed(entries, "The stall", "Boxes", SITE, "the stall").encode())
    assert root.tag == f"{{{ATOM_NAMESPACE}}}feed"
    found = root.findall("a:entry", NAMES)
    assert [entry.findtext("a:id", namespaces=NAMES) for entry in found] == [SITE + "b/", SITE + "a/"]
    assert root.findtext("a:updated", namespaces=NAMES) == "2026-06-13T00:00:00Z"
    for element in (root, *found):
        for name in ("id", "title", "updated"):
            assert len(element.findall(f"a:{name}", NAMES)) == 1
        assert RFC3339.match(element.findtext("a:updated", namespaces=NAMES))
    assert all(entry.findtext("a:author/a:name", namespaces=NAMES) for entry in found)
    assert root.xpath("a:link[@rel='self']/@href", namespaces=NAMES) == [SITE + "feed.xml"]


def test_nothing_dated_makes_no_feed(project):
    """A feed without a moment is none; neither file nor link is there."""
    assert atom_feed([dated(SITE)], "x", "", SITE, "x") == ""
    project.build("--strict")
    assert not (project.site / "feed.xml").exists()
    assert not project.page("index.html").xpath("//link[@type='application/atom+xml']")


def test_days_of_the_front_matter_reach_feed_and_data(project, edited):
    """published: and updated: are what readers of feeds are told, with the page's own title and summary.

    Every page names the feed.
    """
    edited("level: easy", "level: easy\npublished: 2026-05-09\nupdated: 2026-06-13")
    assert project.build("--strict").exit_code == 0
    root = etree.parse(project.site / "feed.xml").getroot()
    assert root.findtext("a:entry/a:published", namespaces=NAMES) == "2026-05-09T00:00:00Z"
    page = project.page("soap-sleeve/index.html")
    assert [root.findtext(f"a:entry/a:{name}", namespaces=NAMES) for name in ("title", "summary")] == [
        " ".join(page.xpath(path)[0].text_content().split()) for path in ("//h1", "//p[@class='summary']")]
    data = json.loads(page.xpath("//script[@type='application/ld+json']/text()")[0])
    assert (data["datePublished"], data["dateModified"]) == ("2026-05-09", "2026-06-13")
    assert data["image"] == page.xpath("//meta[@property='og:image']/@content")[
        0] == SITE + "soap-sleeve/share.png"
    assert page.xpath("//link[@type='application/atom+xml']/@href") == ["../feed.xml"]


@pytest.mark.parametrize(("line", "said"), [
    ("published: 2026-02-30", "no day 2026-02-30"), ("published: May", "is not a day"),
    ("updated: 9.5.2026", "is not a day"),
    ("published: 2026-05-09\nupdated: 2026-05-08", "earlier than the day of publishing")])
def test_days_that_are_none_are_named(project, edited, line, said):
    """Each with its line in the source."""
    edited("level: easy", f"level: easy\n{line}")
    result = project.build()
    assert result.exit_code == 1 and said in result.output and re.search(r"soap-sleeve/index\.md:(9|10):",
                                                                         result.output)


def test_the_shared_picture_shows_paper_and_title(project):
    """1200 × 630 pixels, with paper, ground and ink in it, where no photo of the made box is there."""
    source = project.source.read_text(encoding="utf-8")
    project.source.write_text(re.sub(r"!\[.*\)\n", "", source), encoding="utf-8")
    project.build()
    data = (project.site / "soap-sleeve/share.png").read_bytes()
    image = Image.open(io.BytesIO(data)).convert("RGB")
    assert image.size == (1200, 630)
    colours = dict((colour, count) for count, colour in image.getcolors(1 << 16))

    def near(wanted: tuple[int, int, int]) -> int:
        return sum(n for c, n in colours.items()
                   if max(abs(a - b) for a, b in zip(c, wanted, strict=True)) < 6)

    assert near((0xe9, 0xe1, 0xd2)) > 100_000 and near((0xff, 0xfd,
                                                        0xf8)) > 50_000 and near((0x23, 0x1d, 0x17)) > 1_000
    assert image.crop((0, 0, 1200, 20)).getcolors(2), "nothing reaches the edge"


TITLE_INK = 64      # of the pixels of a picture: far darker than its ground


def _ink(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data)).convert("L").point(lambda grey: 255 * (grey < TITLE_INK))


@pytest.mark.parametrize("title", ["Gefäß für Öl", "Ящик Жук", "Θήκη", "Doză ő"])
def test_the_shared_picture_has_the_letters_of_its_title(title):
    """Pillow, handed the bundled file, draws the same ink at the same place: no boxes for ü, Ж or θ."""
    image = Image.new("RGB", (SHARE_WIDTH, SHARE_HEIGHT), PALETTE["ground"])
    letters = ImageFont.truetype(REGULAR.path, TITLE_HEIGHT, layout_engine=ImageFont.Layout.BASIC)
    ImageDraw.Draw(image).text((MARGIN, MARGIN - 12), title, PALETTE["ink"], letters)
    out = io.BytesIO()
    image.save(out, "PNG")
    shown, drawn = _ink(share_picture(title, None)), _ink(out.getvalue())
    wrong = sum(a != b for a, b in zip(shown.tobytes(), drawn.tobytes(), strict=True))
    assert shown.getbbox() == drawn.getbbox() and wrong < 0.03 * sum(map(bool, drawn.tobytes()))


def test_an_umlaut_is_its_letter_with_dots():
    """Above the line of small letters ü has ink and u none; below it both are alike."""
    with_dots, plain = _ink(share_picture("ü", None)), _ink(share_picture("u", None))
    left, top, right, low = plain.getbbox()
    assert with_dots.crop((left, top, right, low)).tobytes() == plain.crop((left, top, right, low)).tobytes()
    assert with_dots.getbbox()[1] < top - 4 and plain.crop((0, 0, SHARE_WIDTH, top)).getbbox() is None


def test_a_title_of_any_length_stays_within_the_picture():
    """Two lines at most, none of them into the margin."""
    data = share_picture("A box for biscuits and for tea " * 6, None)
    image = Image.open(io.BytesIO(data)).convert("RGB")
    assert len(image.crop((1140, 0, 1200, 630)).getcolors(99)) == 1
    assert len(image.crop((0, 220, 1200, 630)).getcolors(99)) == 1


def test_pages_say_what_they_may_load(project):
    """Scripts and styles of the site alone, nothing inline; a page that is lost too."""
    project.build()
    for address in ("index.html", "soap-sleeve/index.html", "soap-sleeve/print/index.html", "404.html"):
        page = project.page(address)
        (policy,) = page.xpath("//meta[@http-equiv='Content-Security-Policy']/@content")
        assert "script-src 'self';" in policy and "unsafe-inline" not in policy
        assert not page.xpath("//script[not(@src) and not(@type='application/ld+json')]")
        assert not page.xpath("//style | //*[@style] | //@*[starts-with(name(), 'on')]")
