"""Pages made from data: bench, words, calls, the index of the search, and by what the gallery is narrowed."""
from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st
from lxml import etree, html

from generator.findings.codes import CODES
from generator.language.evaluation.registry import REGISTRY
from generator.language.parts import built_in_parts
from generator.locale import ENGLISH
from generator.units import default_bench
from generator.website.data_page_contents import BANK_CARD, bench_data
from generator.website.filters import FilterValues, filter_choices
from generator.website.glossary import GlossaryLinker
from generator.website.glossary_words import glossary_words
from tests.time_limits import examples
from tests.website.test_prose_values import parsed, seen


def test_the_bench_is_that_of_the_settings(project):
    """A board marked every 10 mm in mkdocs.yml is said so on the page; the others keep their usual marks."""
    config = project.root / "mkdocs.yml"
    config.write_text(config.read_text(encoding="utf-8").replace(
        "[foldgauge]", "[{foldgauge: {benches: {mm: {board: 10 mm}}}}]"), encoding="utf-8")
    assert project.build("--strict").exit_code == 0
    rows = project.page("bench/index.html").xpath("//tbody/tr")
    assert len(rows) == 5 and "10\u00a0mm" in rows[0].text_content() and "10\u00a0mm" not in rows[
        1].text_content()


def test_a_bench_row_words_its_marks():
    """Inches first, as everywhere: 1/8 in and 5 mm on a usual board (common practice, no source)."""
    board = bench_data({system: default_bench(system) for system in ("in", "mm")})["tools"][0]
    assert seen(parsed(board.marks[0])) == "1\u20448\u00a0in" and seen(parsed(board.marks[1])) == "5\u00a0mm"


def test_the_card_is_a_bank_card(project):
    """ISO/IEC 7810, ID-1: 85.60 × 53.98 mm, corners of 2.88 to 3.48 mm."""
    assert sorted(BANK_CARD[:2]) == [53.98, 85.60] and 2.88 <= BANK_CARD[2] <= 3.48
    project.build()
    rect = project.page("rules/index.html").xpath("//rect")[0]
    assert {float(rect.get("width")), float(rect.get("height"))} == {53.98, 85.60}


def test_every_call_is_in_the_reference(project):
    """One entry for each call of the registry and each part, each to be linked to, with its parameters."""
    project.build()
    entries = project.page("calls/index.html").xpath("//article//div[@id]")
    assert sorted(e.get("id") for e in entries) == sorted([*REGISTRY, *built_in_parts()])
    score = next(e for e in entries if e.get("id") == "score")
    assert [li.findtext("code") for li in score.iter("li")] == [p.name for p in REGISTRY["score"].parameters]
    ring = next(e for e in entries if e.get("id") == "ring_scores")
    assert [code.text for code in ring.findall(".//li/code")] == ["strip", "count", "width", "tool",
                                                                  ".panels", ".bays"]
    assert "score(strip, x=every(width, count), tool=tool)" in ring.findtext(".//pre/code")


def test_every_finding_is_explained(project):
    """One entry for each code, each to be linked to, with what its example prints; beside the calls."""
    project.build()
    page = project.page("findings/index.html")
    entries = {e.get("id"): e for e in page.xpath("//article//div[@id]")}
    assert set(entries) == set(CODES)
    doubled = entries["mark-doubled"]
    assert [pre.text.split("\n")[0] for pre in doubled.iterfind(".//pre/code")] == [
        "again = score(strip, x=2*panel)",
        "box.md:14:24: error: this score lies on the score 'panels', number 2 of 4 (line 13) [mark-doubled]"]
    assert "Leave one of the two out" in doubled.text_content()
    assert [a.get("href") for a in page.xpath("//footer//a")][-2:] == ["../calls/", "./"]


def test_every_word_has_a_meaning_and_most_a_drawing():
    """The two lists hold the same words; drawings are ours and read as SVG; ids stay apart."""
    assert {word.anchor for word in glossary_words()} == {key.split('.')[0]
                                                          for key in ENGLISH.section('glossary')}
    drawn = [etree.fromstring(word.picture) for word in glossary_words() if word.picture]
    assert len(drawn) >= len(glossary_words()) - 3
    ids = [i for picture in drawn for i in picture.xpath("//@id")]
    assert len(ids) == len(set(ids))


def test_the_first_use_of_a_word_is_linked_and_no_other():
    """Not within links, headings and code, not in part of a longer word, and once on the whole page."""
    linker = GlossaryLinker.to("../glossary/")
    text = linker.linked(
        '<p><a href="x">score</a> <code>score</code> underscore Score it, score again. A bone folder.</p>')
    again = linker.linked("<p>Score the tab.</p>")
    links = html.fromstring(text).xpath("//a[@class='word']")
    assert [(a.text, a.get("href")) for a in links] == [("Score", "../glossary/#score"),
                                                        ("bone folder", "../glossary/#bone-folder")]
    assert again == '<p>Score the <a class="word" href="../glossary/#tab">tab</a>.</p>'


@settings(deadline=None, max_examples=examples(80))
@given(st.lists(st.sampled_from(["score", "tabs", " ", ", ", "<b>", "</b>", "<a href='#'>", "</a>",
                                 "grain &amp; panel", "42 mm"])))
def test_linking_changes_no_word(parts):
    """Without the links the text is what it was."""
    text = "".join(parts)
    found = GlossaryLinker.to("g/").linked(text)
    bare = str(found)
    for name in {key.split('.')[0] for key in ENGLISH.section('glossary')}:
        bare = bare.replace(f'<a class="word" href="g/#{name}">', "\x01")
    assert bare.count("\x01") == found.count('class="word"')
    out, opened = "", False
    for piece in bare.replace("</a>", "\x02").replace("\x01", "\x03"):
        if piece == "\x03":
            opened = True
        elif piece == "\x02" and opened:
            opened = False
        else:
            out += "</a>" if piece == "\x02" else piece
    assert out == text


def test_links_to_words_lead_there_from_page_and_print_view(project):
    """One folder more on the print view."""
    assert project.build("--strict").exit_code == 0
    page, printed = project.page("soap-sleeve/index.html"), project.page("soap-sleeve/print/index.html")
    assert page.xpath("//a[@class='word']/@href")[0].startswith("../glossary/#")
    assert printed.xpath("//a[@class='word']/@href")[0].startswith("../../glossary/#")


def test_a_page_of_the_authors_own_comes_first(project):
    """A glossary.md in the sources is theirs; then nothing is linked to ours."""
    (project.source.parent.parent / "glossary.md").write_text("# Our words\n\nTea.\n", encoding="utf-8")
    assert project.build("--strict").exit_code == 0
    assert project.page("glossary/index.html").xpath("//h1/text()") == ["Our words"]
    assert not project.page("soap-sleeve/index.html").xpath("//a[@class='word']")


def test_only_what_parts_the_tutorials_is_offered():
    """A choice that all or none fulfil would do nothing, and one alone is none; sizes in either unit."""
    trimmer, glue, knife = (("trimmer", "Trimmer"), ("glue", "Adhesive"), ("knife", "Knife"))
    a4, letter, square = (("A4", "A4"), ("Letter", "Letter"), ("12 × 12 in", "12 × 12 Zoll"))
    one = FilterValues("easy", 20, 90, (trimmer, glue, knife), 8, (a4, letter, square), ("", "40|80 50"))
    two = FilterValues("hard", 90, 240, (trimmer,), 0, (a4,))
    offered = filter_choices([one, two])
    assert offered.levels == ("easy", "hard") and [most for most, _ in offered.times] == [30, 60]
    assert offered.sizes["mm"] == ((100, "100 mm"), (150, "150 mm"), (200, "200 mm"))
    assert [(f"{size:.5g}", words) for size, words in offered.sizes["in"]] == [
        ("101.6", "4 in"), ("152.4", "6 in"), ("203.2", "8 in")]
    assert offered.tools == (glue, knife) and offered.sheets == (square, letter) and offered.rooms
    assert offered.shapes == ((0, "without a floor"), (8, "eight-sided floor"))
    few = filter_choices([one, replace(two, minutes=50, tools=(trimmer, glue), sheets=(a4, letter))])
    assert not few.tools and not few.sheets and not few.times
    assert not filter_choices([one]).any and not filter_choices([two, two]).any


@given(st.lists(st.builds(FilterValues, st.sampled_from(["easy", "medium", "hard", ""]),
                          st.none() | st.integers(1, 300),
                          st.none() | st.integers(1, 500), st.just(())), max_size=6))
@settings(deadline=None)
def test_each_limit_shows_some_and_hides_some(cards):
    """Counted anew."""
    for most, _ in (each for sizes in filter_choices(cards).sizes.values() for each in sizes):
        within = [c for c in cards if c.widest is not None and c.widest <= most]
        assert 0 < len(within) < len(cards)
    assert len(filter_choices(cards).levels) != 1
