"""From sources to a site: what is written, what is said, and that a broken source changes nothing."""
from __future__ import annotations

import os
import shutil
import subprocess
import sys

import pytest
from lxml import etree

SITEMAP = {"s": "http://www.sitemaps.org/schemas/sitemap/0.9"}


def test_a_source_becomes_its_pages(project):
    """A strict build gives the gallery, the tutorial, its print view, the plain page and the page for lost
    links.
    """
    result = project.build("--strict")
    assert result.exit_code == 0, result.output
    assert {"index.html", "soap-sleeve/index.html", "soap-sleeve/print/index.html", "soap-sleeve/strip.png",
            "about/index.html", "404.html", "sitemap.xml", "css/drawing.css",
            "images/favicon.svg"} < set(project.files())


def test_the_page_holds_both_editions(project):
    """Every measure stands in inches and in millimetres, and each step has its anchor."""
    project.build()
    page = project.page("soap-sleeve/index.html")
    marks = page.get_element_by_id("score-the-panels").xpath(
        ".//div[@class='prose']//i[@class='mm']")
    assert marks[0].text_content() == "60 and 120\u00a0mm"
    assert [step.get("id") for step in page.xpath("//li[@class='task']")] == ["cut-the-strip",
                                                                              "score-the-panels"]
    assert page.xpath("//link[@rel='canonical']/@href") == ["https://stall.example/boxes/soap-sleeve/"]
    assert page.xpath("//meta[@name='description']/@content") == ["A sleeve with a seam that nobody sees."]
    assert page.xpath("/html/@lang") == ["en"]


def test_links_and_photos_lead_where_they_should_from_both_pages(project):
    """The print view lies one folder deeper, so its links are one step longer."""
    project.build()
    page, printed = project.page("soap-sleeve/index.html"), project.page("soap-sleeve/print/index.html")
    assert page.xpath("//figure[@class='photo']//img/@src") == ["strip.png"] * 2, "it leads too"
    assert printed.xpath("//figure[@class='photo']//img/@src") == ["../strip.png"]
    assert page.xpath("//div[@class='prose']//a[not(@class)]/@href") == ["../about/"]
    assert printed.xpath("//section[starts-with(@class, 'task')]//a[not(@class)]/@href") == ["../../about/"]


def test_a_photo_has_its_size_and_its_caption(project):
    """The size keeps the page from jumping; the title is the caption; nothing waits to be scrolled to."""
    project.build()
    (figure,) = project.page("soap-sleeve/index.html").xpath("//li//figure[@class='photo']")
    image = figure.find(".//img")
    assert (image.get("width"), image.get("height"), image.get("alt")) == ("40", "30",
                                                                           "The strip on the board.")
    assert figure.findtext("figcaption") == "Two scores" and image.get("loading") is None


def test_the_same_sources_give_the_same_bytes(project, monkeypatch):
    """No date and no chance in any file, whatever day it is."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1000000000")
    project.build()
    first = project.files()
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")
    project.build()
    assert project.files() == first


def test_the_sitemap_lists_pages_once(project):
    """The print view says the same as the tutorial, so search engines are led to the tutorial only."""
    project.build()
    found = etree.parse(project.site / "sitemap.xml").xpath("//s:loc/text()", namespaces=SITEMAP)
    assert sorted(found) == [f"https://stall.example/boxes/{page}" for page in (
        "", "about/", "bench/", "calls/", "findings/", "glossary/", "prints/", "rules/", "search/", "shelf/",
        "soap-sleeve/")]


def test_without_an_address_there_is_no_sitemap(project):
    """A sitemap needs whole addresses; where mkdocs.yml gives none, an empty one would help nobody."""
    config = project.root / "mkdocs.yml"
    config.write_text(config.read_text(encoding="utf-8").replace("site_url: https://stall.example/boxes/\n",
                                                                 ""),
                      encoding="utf-8")
    assert project.build("--strict").exit_code == 0
    assert "sitemap.xml" not in project.files() and "404.html" in project.files()


def test_a_dirty_build_does_not_leave_out_what_a_print_view_needs(project):
    """Only changed files are built then; a tutorial always counts as changed, since more than its source
    makes it.
    """
    project.build()
    printed = "soap-sleeve/print/index.html"
    before = project.page(printed).get_element_by_id("the-text").text_content()
    assert project.build("--dirty").exit_code == 0
    assert project.page(printed).get_element_by_id("the-text").text_content() == before


def test_a_broken_source_leaves_the_old_site(project, edited):
    """All errors are printed with file and line; of the site that was there, not a byte changes."""
    project.build()
    before = project.files()
    edited("x=every(panel, 2)", "x=every(pannel, 2)")
    edited("{{ size(strip) }}", "{{ size(stripe) }}")
    result = project.build()
    assert result.exit_code == 1
    assert "tutorials/soap-sleeve/index.md:16:24: error:" in result.output and "stripe" in result.output
    assert "pannel" in result.output and "Traceback" not in result.output
    assert project.files() == before


def test_all_sources_are_read_before_any_is_given_up(project, edited):
    """Errors of two tutorials come out in one run."""
    other = project.source.parent.parent / "tea-tin"
    shutil.copytree(project.source.parent, other)
    (other / "index.md").write_text("---\ntitle: Tea tin\n---\n", encoding="utf-8")
    edited("2*panel", "2*pannel")
    output = project.build().output
    assert "soap-sleeve/index.md" in output and "tea-tin/index.md" in output


@pytest.mark.parametrize("fault",
                         [b"", b"\xff\xfe", b"---\n: [\n---\n## x\n",
                          b"## a\n```geometry\n" + b"-" * 200_000])
def test_whatever_stands_in_a_source_no_traceback_comes_out(project, fault):
    """A message, exit code 1, no site."""
    project.source.write_bytes(fault)
    result = project.build()
    assert result.exit_code == 1 and "tutorials/soap-sleeve/index.md:" in result.output
    assert "Traceback" not in result.output and not project.site.exists()


def test_no_traceback_comes_out_of_the_program_itself(project):
    """As a person runs it: a message, exit code 1, no site."""
    project.source.write_bytes(b"---\ntitle: {{\n---\n\n## {{\n")
    run = subprocess.run([sys.executable, "-m", "mkdocs", "build", "-f", "mkdocs.yml"], cwd=project.root,
                         capture_output=True, text=True, env={**os.environ, "NO_COLOR": "1"})
    assert run.returncode == 1 and "Traceback" not in run.stderr + run.stdout
    assert "tutorials/soap-sleeve/index.md:" in run.stderr and not project.site.exists()


def test_a_dead_link_leaves_the_old_site_too(project, edited):
    """MkDocs finds it only after it has written every page; a strict build then puts the old pages back."""
    project.build()
    before = project.files()
    edited("../about.md", "../nowhere.md")
    result = project.build("--strict")
    assert result.exit_code == 1 and "nowhere.md" in result.output
    assert project.files() == before
    # nothing is left aside
    assert [path.name for path in (project.root / ".foldgauge").iterdir()] == ["cache"]


def test_links_to_steps_are_checked(project, edited):
    """A link to a step that is not there is found; one that is there is not complained of."""
    edited("../about.md", "#score-the-panels")
    assert "does not contain an anchor" not in project.build("--strict").output
    edited("#score-the-panels)", "#fold-the-panels)")
    assert "there is no such anchor" in project.build().output


def test_a_warning_is_said_and_does_not_stop_a_strict_build(project, edited):
    """A length that nothing uses is named in the terminal, not on the published page."""
    edited("tab: 10 mm}", "tab: 10 mm, spare: 5 mm}")
    edited("tab: 3/8 in}", "tab: 3/8 in, spare: 1/4 in}")
    result = project.build("--strict")
    assert result.exit_code == 0 and "[length-unused]" in result.output
    assert "spare" not in (project.site / "soap-sleeve/index.html").read_text(encoding="utf-8")


def test_what_is_kept_out_of_the_site_is_not_read(project, edited):
    """Drafts and excluded folders may be broken."""
    edited("2*panel", "2*pannel")
    with (project.root / "mkdocs.yml").open("a", encoding="utf-8") as config:
        config.write("draft_docs: soap-sleeve/\n")
    assert project.build("--strict").exit_code == 0
    assert not (project.site / "soap-sleeve" / "index.html").exists()


def test_a_bench_that_does_not_read_is_named(project):
    """Settings are checked before anything else, in words."""
    config = project.root / "mkdocs.yml"
    config.write_text(config.read_text(encoding="utf-8").replace(
        "[foldgauge]", "[{foldgauge: {benches: {in: {board: 1/8}}}}]"), encoding="utf-8")
    result = project.build()
    assert result.exit_code == 1 and "benches" in result.output and "board" in result.output


@pytest.mark.parametrize("benches", ["3", "{cm: {}}", "{in: [1]}", "{in: {board: 5}}", "{mm: {bord: 5 mm}}"])
def test_no_bench_gives_a_traceback(project, benches):
    """Whatever stands there, MkDocs says which option is wrong."""
    config = project.root / "mkdocs.yml"
    config.write_text(config.read_text(encoding="utf-8").replace(
        "[foldgauge]", f"[{{foldgauge: {{benches: {benches}}}}}]"), encoding="utf-8")
    result = project.build()
    assert result.exit_code == 1 and "benches" in result.output


def test_a_bench_is_what_marks_are_held_against(project):
    """With a coarser board the marks of the drawn edition no longer lie on it, and that is said."""
    config = project.root / "mkdocs.yml"
    config.write_text(config.read_text(encoding="utf-8").replace(
        "[foldgauge]", "[{foldgauge: {benches: {mm: {board: 7 mm}}}}]"), encoding="utf-8")
    assert "[off-grid]" in project.build().output


def test_addresses_without_folders_work(project):
    """With use_directory_urls off the print view lies beside the page, and links are as long as there."""
    with (project.root / "mkdocs.yml").open("a", encoding="utf-8") as config:
        config.write("use_directory_urls: false\n")
    assert project.build("--strict").exit_code == 0
    printed = project.page("soap-sleeve/print.html")
    assert printed.xpath("//figure[@class='photo']//img/@src") == ["strip.png"]
    assert "index.html" in printed.xpath("//p[@class='to-print']/a/@href")


def test_nothing_is_styled_or_scripted_in_the_page(project):
    """No style attribute, no inline script, nothing from elsewhere: the page can be served with a strict
    policy.
    """
    project.build()
    for address in ("index.html", "soap-sleeve/index.html", "soap-sleeve/print/index.html", "404.html"):
        page = project.page(address)
        assert not page.xpath("//@style") and not page.xpath("//style")
        assert not [s for s in page.xpath("//script[not(@type='application/ld+json')]") if s.text
                    or not s.get("src")]
        assert not [a for a in page.xpath("//script/@src | //img/@src | //link[@rel!='canonical']/@href")
                    if "//" in a]
