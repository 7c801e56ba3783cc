"""The page lists the ovals and circles that will do, and offers the guides, where a curve is traced."""
from __future__ import annotations

import pytest

CURVED = """bow = score(strip, arc(at(left, bottom), at(middle, top), bulge=tab))"""


@pytest.fixture
def curved(project, edited):
    """The sleeve with one curve across it, and an oval and a plate of the author's."""
    edited("panels = score(strip, x=every(panel, 2))", f"panels = score(strip, x=every(panel, 2))\n{CURVED}")
    edited("level: easy", "level: easy\nguides: {stylus: 0.75 mm, within: 1 mm, circles: [276 mm, 120 mm], "
                          "ovals: [100 x 150 mm]}")
    return project


def table(project, page: str, system: str) -> list[list[str]]:
    """The rows of one edition's table."""
    rows = project.page(page).xpath(f"//section[@class='guides']/div[@class='{system}']//tbody/tr")
    return [[" ".join(cell.text_content().split()) for cell in row] for row in rows]


@pytest.mark.parametrize("page", ["soap-sleeve/index.html", "soap-sleeve/print/index.html"])
def test_both_editions_have_a_table(curved, page):
    """Sizes in their own system, the author's plates among the metric ones, and the tip that was
    allowed for.
    """
    result = curved.build("--strict")
    assert result.exit_code == 0, result.output
    metric, inch = table(curved, page, "mm"), table(curved, page, "in")
    assert 3 <= len(metric) <= 9 and 3 <= len(inch) <= 6
    assert all(" mm" in row[0] and " mm" in row[1] for row in metric) and all(" in" in row[0] for row in inch)
    assert any("author" in row[2] for row in metric) and not any("author" in row[2] for row in inch)
    words = curved.page(page).xpath("string(//section[@class='guides']/div[@class='mm'])")
    assert "0.8\u00a0mm" in words and "fits exactly" in words


def test_the_guides_are_among_the_files(curved):
    """For each edition and paper; nothing else is called so."""
    curved.build()
    offered = curved.page("soap-sleeve/index.html").xpath("//section[@class='downloads']//a/@href")
    assert sorted(link.split("/")[1] for link in offered if "guides" in link) == [
        f"soap-sleeve-{system}-{paper}-guides.pdf" for system in ("in", "mm") for paper in ("a4", "letter")]


def test_straight_lines_need_no_guide(project):
    """Neither a table nor a file nor a style."""
    project.build()
    page = project.page("soap-sleeve/index.html")
    assert not page.xpath("//section[@class='guides']") and not page.xpath("//a[contains(@href, 'guides')]")
    assert not page.xpath("//link[contains(@href, 'guides.css')]")
