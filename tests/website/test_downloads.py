"""Templates and cutting files go out with the site, and the page says what each is for."""
from __future__ import annotations

from io import BytesIO

import pdfplumber
import pytest
from lxml import etree

FOLDER = "soap-sleeve/templates/"


def test_every_file_that_the_page_offers_is_there_and_no_other(project):
    """Two editions, two papers, three faces of templates; the cutting files in one archive, and beside it.

    What is for the reader's edition, paper and hand stands first.
    """
    assert project.build("--strict").exit_code == 0
    made = {name for name in project.files() if name.startswith(FOLDER)}
    page = project.page("soap-sleeve/index.html")
    links = page.xpath("//section[@class='downloads']//a/@href")
    offered = {f"soap-sleeve/{link}" for link in links}
    assert len(links) == len(offered) and offered <= made
    assert {name.rsplit(".", 1)[1] for name in offered} == {"pdf", "zip"}
    assert {name.rsplit(".", 1)[1] for name in made - offered} == {"svg", "dxf"}
    assert f"{FOLDER}soap-sleeve-in-letter-ticks.pdf" in made and len(made) >= 16
    first = page.xpath("//div[@data-paper='a4'][contains(@class, 'only-mm')]//li")
    assert [item.get("class") for item in first] == [None, None, None, "right", "left"]
    assert [item[0].get("href").rsplit("-a4", 1)[1] for item in first] == [
        "-bundle.pdf", ".pdf", "-project-sheet.pdf", "-bench-card.pdf", "-bench-card-left.pdf"]


def test_the_files_are_what_they_say(project):
    """The revision mark of the page stands on the template; the SVG is as wide as the page states."""
    project.build()
    files, page = project.files(), project.page("soap-sleeve/index.html")
    revision, = page.xpath("//p[@class='revision']/b//*[@class='mm']/text()")
    with pdfplumber.open(BytesIO(files[f"{FOLDER}soap-sleeve-mm-a4.pdf"])) as document:
        assert f"Revision {revision}" in document.pages[0].extract_text()
        assert "Sleeve for a bar of soap" in document.pages[1].extract_text()
    drawing = etree.fromstring(files[f"{FOLDER}soap-sleeve-mm-cutting.svg"])
    assert drawing.get("width") == "130mm"
    assert "comes out 130\u00a0mm wide" in page.xpath("string(//section[@class='downloads'])")


def test_each_link_says_which_it_is(project):
    """Those who listen hear the kind with each link, and the edition with it or in the heading above."""
    project.build()
    section = "//section[@class='downloads']"
    links = project.page("soap-sleeve/index.html").xpath(f"{section}//li//a")
    words = [" ".join("".join((*a.xpath("ancestor::div[h3]/h3/text()"), " ", a.text_content())).split())
             for a in links]
    assert len(set(words)) == len(words) and "Cutting files, Inch edition, ZIP" in words


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_the_double_rule_goes_out(project, paper):
    """One page for each paper, whether or not the site has a page about it."""
    project.build()
    with pdfplumber.open(BytesIO(project.files()[f"true-size-rule-{paper}.pdf"])) as document:
        assert len(document.pages) == 1 and document.pages[0].width > document.pages[0].height


def test_the_page_on_printing_is_linked_where_there_is_one(project):
    """A site that has it leads there; one that has not shows no dead link."""
    project.build()
    link = "//section[@class='downloads']//a[contains(@href, 'print-at-true-size')]"
    assert not project.page("soap-sleeve/index.html").xpath(link)
    (project.root / "tutorials" / "print-at-true-size.md").write_text("# Print\n", encoding="utf-8")
    assert project.build("--strict").exit_code == 0
    assert project.page("soap-sleeve/index.html").xpath(link)


def test_a_template_that_would_take_too_many_pages_is_left_out(project, edited):
    """The build says how many; page and site are made without it, and without a dead link."""
    edited("panel: 60 mm, high: 80 mm", "panel: 1200 mm, high: 2500 mm")
    edited("panel: 2 3/8 in, high: 3 1/8 in", "panel: 47 in, high: 98 in")
    result = project.build("--strict")
    assert result.exit_code == 0, result.output
    assert "[template-pages]" in result.output
    assert {n for n in project.files() if n.startswith(FOLDER) and "cutting" not in n
            and not n.endswith(("bench-card.pdf", "-large.pdf", "-left.pdf", "project-sheet.pdf",
                                "bundle.pdf", ".zip"))} == set()
