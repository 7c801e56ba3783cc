"""The print view on paper: true to size, nothing cut in two, nothing missing, black ink enough, A4 and Letter alike."""
from __future__ import annotations

import io
import re
from collections.abc import Iterator

import pdfplumber
import pytest

from tests.site.kinds import prints, tutorials

POINT = 25.4 / 72       # mm
MARGIN = 15             # mm, of @page in print.css
SIZES = {"A4": (210, 297), "Letter": (215.9, 279.4)}    # mm: ISO 216; ANSI/ASME Y14.1

# A sign at the head and at the foot of every step, which changes nothing of the layout.
SIGNS = """() => document.querySelectorAll('.task').forEach((step, n) => {
    step.style.position = 'relative';
    for (const [end, place] of [['HEAD', 'top:0'], ['FOOT', 'bottom:0']]) {
        const sign = document.createElement('span');
        sign.textContent = `${end}${n + 1}`;
        sign.style.cssText = `position:absolute;left:0;font:2px sans-serif;${place}`;
        step.append(sign);
    }
})"""


def printed(page, address: str, paper: str, signs: bool = False) -> pdfplumber.PDF:
    """The page as the browser prints it."""
    page.goto(address)
    if signs:
        page.evaluate(SIGNS)
    return pdfplumber.open(io.BytesIO(page.pdf(format=paper, prefer_css_page_size=True)))


def both(site, paper: str) -> Iterator[tuple[str, str]]:
    """Print views and tutorial pages, on one paper."""
    return ((address, paper) for address in prints(site) + tutorials(site))


@pytest.fixture(params=sorted(SIZES))
def paper(request) -> str:
    return request.param


def test_no_step_is_cut_in_two(built_site, page, paper):
    """Head and foot of every step stand on one page, on the print view and on the tutorial's own page."""
    for address, _ in both(built_site, paper):
        with printed(page, address, paper, signs=True) as pdf:
            where = {sign: number for number, sheet in enumerate(pdf.pages)
                     for sign in re.findall(r"(?:HEAD|FOOT)\d+", sheet.extract_text())}
        steps = len(where) // 2
        assert steps >= 4
        cut = [n for n in range(1, steps + 1) if where[f"HEAD{n}"] != where[f"FOOT{n}"]]
        assert not cut, f"{address} on {paper}: steps {cut}"


def test_no_page_is_blank(built_site, page, paper):
    """Every sheet that comes out of the printer has something on it."""
    for address, _ in both(built_site, paper):
        with printed(page, address, paper) as pdf:
            assert all(len(sheet.chars) > 40 for sheet in pdf.pages), address


def test_nothing_lies_outside_the_text_block(built_site, page, paper):
    """No letter lies in the margin, where printers cannot reach; only the page number lies below."""
    for address, _ in both(built_site, paper):
        with printed(page, address, paper) as pdf:
            for sheet in pdf.pages:
                letters = [c for c in sheet.chars if c["text"].strip() and c["bottom"] < float(sheet.height) - 18 / POINT]
                left, right = min(c["x0"] for c in letters) * POINT, max(c["x1"] for c in letters) * POINT
                assert left >= MARGIN - 0.3 and right <= float(sheet.width) * POINT - MARGIN + 0.3, address


def test_the_paper_is_the_readers_own(built_site, page, paper):
    """The page sets margins and no size, so A4 and Letter both come out as they are, to half a millimetre."""
    with printed(page, prints(built_site)[0], paper) as pdf:
        for sheet in pdf.pages:
            assert (float(sheet.width) * POINT, float(sheet.height) * POINT) == pytest.approx(SIZES[paper], abs=0.5)


def test_the_rule_is_true_to_size(built_site, page, paper):
    """Inches lie 25.4 mm apart on paper (1 in = 96 px = 72 pt, CSS Values and Units), to the browser's 0.02 mm in 100."""
    with printed(page, prints(built_site)[0], paper) as pdf:
        upright = [line for line in pdf.pages[0].lines + pdf.pages[0].curves
                   if abs(line["x0"] - line["x1"]) < 0.01 and abs((line["bottom"] - line["top"]) * POINT - 5) < 0.05]
    places = sorted({round(line["x0"] * POINT, 3) for line in upright})
    start = places[0]
    for inch in range(7):
        assert any(abs(place - start - inch * 25.4) < 0.04 for place in places), f"{inch} in"
    for centimetre in range(18):
        assert any(abs(place - start - centimetre * 10) < 0.04 for place in places), f"{centimetre} cm"


def test_black_ink_is_enough(built_site, page, paper):
    """Letters and lines are grey or black."""
    page.emulate_media(color_scheme="dark")
    with printed(page, prints(built_site)[0], paper) as pdf:
        used = {(kind, item[kind]) for sheet in pdf.pages for item in sheet.chars + sheet.lines + sheet.curves + sheet.rects
                for kind in ("stroking_color", "non_stroking_color") if item.get(kind) is not None}
    assert used and all(max(colour) - min(colour) < 0.02 for _, colour in used)
    letters = {item["non_stroking_color"] for sheet in pdf.pages for item in sheet.chars}
    assert all(max(colour) < 0.45 for colour in letters)


def test_nothing_is_missing_on_paper(built_site, page, paper):
    """Every word of the print view is printed: supplies, cautions, all steps, credit, revision mark, address."""
    with printed(page, prints(built_site)[0], paper) as pdf:
        on_paper = "".join(sheet.extract_text() for sheet in pdf.pages)
    page.emulate_media(media="print")
    words = page.evaluate("document.querySelector('main').innerText").split()
    squeezed = re.sub(r"\s+", "", on_paper)
    missing = [word for word in dict.fromkeys(words) if len(word) > 3 and word.isalpha() and word not in squeezed]
    assert len(words) > 200 and not missing


def test_the_end_tells_which_print_this_is(built_site, page, paper):
    """The last page has the revision mark of the tutorial's page; every page has its number."""
    page.goto(tutorials(built_site)[0])
    mark = page.locator(".revision .mark").inner_text()
    assert re.fullmatch(r"[0-9A-HJKMNP-TV-Z]{6}", mark)     # Crockford's base 32 has no I, L, O and U
    with printed(page, prints(built_site)[0], paper) as pdf:
        assert mark in pdf.pages[-1].extract_text()
        total = len(pdf.pages)
        for number, sheet in enumerate(pdf.pages, 1):
            assert sheet.extract_text().strip().endswith(f"{number} / {total}")


def test_there_is_a_box_to_tick_for_each_supply_and_step(built_site, page):
    """On paper the reader ticks off what lies ready and what is done."""
    page.goto(prints(built_site)[0])
    steps = page.locator(".task").count()
    assert page.locator(".task .box").count() == steps >= 4
    for item in page.locator(".boxes li").all():
        assert item.evaluate("e => getComputedStyle(e, '::before').borderTopStyle") == "solid"


def test_nothing_waits_to_be_opened(built_site, page):
    """No lazy picture and nothing folded away, which would be missing in print."""
    page.goto(prints(built_site)[0])
    assert page.locator("[loading=lazy], details:not([open]), main [hidden]:not(#the-units, #the-printing)").count() == 0


def test_the_choice_of_units_holds_on_paper(built_site, page):
    """Who chose inches prints inches."""
    page.goto(prints(built_site)[0])
    page.get_by_role("radio", name="inches", exact=True).check()
    pdf = pdfplumber.open(io.BytesIO(page.pdf(format="Letter", prefer_css_page_size=True)))
    text = "".join(sheet.extract_text() for sheet in pdf.pages)
    assert re.search(r"\bin\b", text) and not re.search(r"\d mm\b", text)
