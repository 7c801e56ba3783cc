"""What the theme is handed: rows, facts, credit, photos, and the gallery's pictures."""
from __future__ import annotations

import re
import shutil

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree
from PIL import Image

from generator.drawing.pen import Role, Surface
from generator.drawing.recording import RecordingPen
from generator.drawing.steps.dual_measures import ListRow
from generator.drawing.steps.step_picture import StepPicture
from generator.geometry import rectangle
from generator.website.filters import duration
from generator.website.pictures import card_view, picture_view, row_html
from generator.website.prose import ConvertedTutorial, InlineMarkdown
from generator.website.rendered_tutorial import RenderedTutorial
from generator.website.view import relocated_view, tutorial_view
from tests.website.sample_tutorial import CADDY
from tests.website.test_prose_values import heard, parsed, seen

PHOTO = re.compile(r"!\[.*?\]\(.*?\)")


def picture() -> StepPicture:
    """A strip with a glued end, 100 × 40 mm in a picture of 120 × 60."""
    pen = RecordingPen()
    paper = tuple(rectangle(100, 40))
    pen.begin("paper")
    pen.area((paper,), Surface.PLAIN)
    pen.area((paper,), Surface.GLUE)
    pen.stroke(paper, Role.CUT, True)
    pen.end()
    rows = (ListRow(1, "each panel", "wide", "30 mm", "1 1/4 in", "30&nbsp;mm", "1\u202f1⁄4 in",
                    "30 millimetres",
                    "1 and a quarter inches"), ListRow(None, "glue & tape"))
    told = {"mm": "In millimetres: 30 mm.", "in": "In inches: 1 1/4 in."}
    return StepPicture("strip", "The strip", "A strip.", told, pen.recording(120, 60), rows, "step-1-strip")


def view():
    converted = ConvertedTutorial("", ("<p>one</p>",) * len(CADDY.steps))
    return tutorial_view(RenderedTutorial(CADDY, {}, (), None), converted, InlineMarkdown())


def test_a_row_says_its_measure_in_both_systems():
    """As in the prose: figures to see, words to hear; words alone stay as they are."""
    first, second = (parsed(row.html) for row in picture_view(picture()).rows)
    assert heard(
        parsed(row_html(picture().rows[0]))) == "each panel 1 and a quarter inches\u00a0· 30 millimetres wide"
    assert seen(first) == "each panel 1\u202f1⁄4 in\u00a0· 30\u00a0mm wide" and seen(second) == "glue & tape"


def test_measures_are_told_in_each_system_apart():
    """So that whoever chose one hears no other: not in the drawing's own description, which nothing hides."""
    shown = picture_view(picture())
    assert shown.told == ('<p class="in spoken">In inches: 1 1/4 in.</p>'
                          '<p class="mm spoken">In millimetres: 30 mm.</p>')
    assert 'aria-label="A strip."' in shown.svg


def test_a_legend_shows_what_the_picture_uses():
    """A sample of each line and area in use, hatched like the drawing itself, and no other."""
    shown = picture_view(picture())
    assert [item.words for item in shown.legend] == ["cut", "glue"]
    cut, glue = (etree.fromstring(item.sample) for item in shown.legend)
    assert cut.find("path").get("class") == "line cut now" and cut.get("aria-hidden") == "true"
    pattern = glue.findall("path")[1].get("fill")
    assert pattern == "url(#hatch-glue)" and f'fill="{pattern}"' in shown.svg


def test_pictures_keep_their_ids_apart():
    """The same picture twice on a page, as in the gallery, has no id in common."""
    ids = [set(etree.fromstring(card_view(picture(), f"card-{n}").svg).xpath("//@id")) for n in (1, 2)]
    assert ids[0] and not ids[0] & ids[1]


def test_the_gallerys_picture_is_the_paper_alone():
    """Cropped to the paper and a little more, still in mm, without what is said around it."""
    root = etree.fromstring(card_view(picture(), "card-1").svg)
    assert [float(n) for n in root.get("viewBox").split()] == [-1, 19, 102, 42]
    assert (root.get("width"), root.get("height")) == ("102mm", "42mm")


def test_facts_credit_and_titles_are_ready_to_show():
    """Facts of the plan, then level and time; credit without what nobody said; titles with both measures."""
    shown = view()
    assert [row.label for row in shown.facts] == ["Finished size", "Level", "Time", "Tools"]
    assert shown.facts[2].html == "1\u00a0h 20\u00a0min"
    assert [row.label for row in shown.credit] == ["Title", "Designed by", "Source", "Licence", "You may"]
    assert shown.credit[2].html == ('the stall’s notebook, <a href="https://stall.example/notebook">'
                                    "https://stall.example/notebook</a>.")
    assert shown.credit[
        3].html == '<a href="https://creativecommons.org/licenses/by/4.0/" rel="license">CC BY 4.0</a>'
    assert "Name the designer" in shown.credit[4].html and "The licence itself decides." in shown.credit[
        4].html
    assert shown.steps[2].title == "1. Fold &amp; &lt;burnish&gt;"
    assert seen(parsed(shown.steps[3].title)) == "Glue the tab of 1\u20442\u00a0in\u00a0· 12\u00a0mm"


def test_only_addresses_within_the_site_move():
    """On the print view what is relative gets one folder longer; places on the page and other sites stay."""
    html = ('<a href="#a">a</a><a href="b/">b</a><img src="c.jpg"><a href="https://x.example/">d</a><a '
            'href="/e">e</a>')
    shown = relocated_view(tutorial_view(RenderedTutorial(CADDY, {}, (), None),
                                         ConvertedTutorial(html, ("",) * 4), InlineMarkdown()), "..")
    assert shown.intro == html.replace('"b/"', '"../b/"').replace('"c.jpg"', '"../c.jpg"')


@settings(deadline=None)
@given(st.integers(1, 3000))
def test_a_time_reads_back(minutes):
    """Hours and minutes together are the time again, and neither is said when it is nothing."""
    said = duration(minutes).split()
    parts = dict(zip(said[1::2], map(int, said[::2]), strict=True))
    assert parts.get("h", 0) * 60 + parts.get("min", 0) == minutes
    assert 0 not in parts.values() and parts.get("min", 0) < 60


def test_a_photo_lying_on_its_side_is_measured_as_it_is_shown(project):
    """Cameras store a turn beside the picture (Exif, tag 0x0112): width and height are those of the turned
    one.
    """
    photo = Image.new("RGB", (40, 30), "tan")
    turned = Image.Exif()
    turned[0x0112] = 6
    photo.save(project.source.parent / "strip.png", exif=turned)
    project.build()
    image = project.page("soap-sleeve/index.html").xpath("//figure[@class='photo']//img")[0]
    assert (image.get("width"), image.get("height")) == ("30", "40")


def test_the_gallery_shows_every_tutorial(project):
    """Two tutorials with pieces of the same name: two cards, each with its link and the picture beside its
    page, in proportion; a photo of the finished box comes first.
    """
    shutil.copytree(project.source.parent, project.source.parent.parent / "biscuit-sleeve")
    assert project.build("--strict").exit_code == 0
    page = project.page("index.html")
    assert page.xpath("//li[@class='card']//h3/a/@href") == ["biscuit-sleeve/", "soap-sleeve/"]
    pictures = page.xpath("//li[@class='card']//img")
    assert [each.get("src") for each in pictures] == ["biscuit-sleeve/strip.png", "soap-sleeve/strip.png"]
    assert all(each.get("loading") == "lazy" and each.get("alt") == "The strip on the board."
               and float(each.get("width")) > 0 for each in pictures)
    project.source.write_text(PHOTO.sub("", project.source.read_text(encoding="utf-8")), encoding="utf-8")
    assert project.build("--strict").exit_code == 0
    drawn = project.page("index.html").xpath("//li[@class='card']//img")[1]
    root = etree.parse(project.site / "soap-sleeve" / drawn.get("src").rpartition("/")[2]).getroot()
    wide, high = map(float, root.get("viewBox").split()[2:])
    assert int(drawn.get("width")) / int(drawn.get("height")) == pytest.approx(wide / high, rel=0.05)
    style = root.xpath("string(//*[local-name()='style'])")
    assert "prefers-color-scheme:dark" in style and "url(" not in style and not root.xpath("//@id[.='']")


def test_the_gallery_is_the_authors_own_where_there_is_one(project):
    """An index.md is shown above the cards; it is no tutorial."""
    (project.source.parent.parent / "index.md").write_text("# At the stall\n\nFrom eight.\n",
                                                           encoding="utf-8")
    assert project.build("--strict").exit_code == 0
    page = project.page("index.html")
    assert [h.text for h in page.xpath("//h1")] == ["At the stall"] and page.xpath("//li[@class='card']")


def test_a_page_of_the_authors_that_stands_in_the_way_is_named(project):
    """A print.md beside a source would be overwritten by the print view: the build says so."""
    (project.source.parent / "print.md").write_text("# Mine\n", encoding="utf-8")
    result = project.build()
    assert (result.exit_code == 1 and "soap-sleeve/print.md" in result.output
            and "another name" in result.output)


def test_an_empty_shelf_is_a_site_too(project):
    """Without any tutorial the gallery says so."""
    shutil.rmtree(project.source.parent)
    assert project.build("--strict").exit_code == 0
    assert "No tutorial" in project.page("index.html").text_content()

