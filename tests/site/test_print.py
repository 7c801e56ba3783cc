"""The print view on paper: true to size, nothing cut in two, nothing missing, black ink enough, A4 and Letter
alike.

Chromium's PDF of a page serves only to check this view: a 100 mm square comes out at 99.997 mm, A4 is
rounded to 209.889 × 297.011 mm, and dashed lines become outlines. Without ``prefer_css_page_size=True`` an A4
page shrinks silently onto Letter.
"""
from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterator

import pdfplumber
import pypdfium2
import pytest

from tests.site.page_kinds import prints, tutorials
from tests.time_limits import alternating

POINT = 25.4 / 72       # mm
MARGIN = 13             # mm, of @page in print.css
RULE = 40               # mm; above it lies the rule of page one
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


@pytest.fixture(scope="module")
def printer(browser, site_url) -> Iterator[Callable[[str, str], pdfplumber.PDF]]:
    """``printer(address, paper)`` is a page as the browser prints it for a reader who likes it dark; each
    once.
    """
    made: dict[tuple[str, str], pdfplumber.PDF] = {}
    context = browser.new_context(base_url=site_url, color_scheme="dark")

    def pdf(address: str, paper: str) -> pdfplumber.PDF:
        if (address, paper) not in made:
            page = context.new_page()
            page.goto(address)
            page.evaluate(SIGNS)
            made[address, paper] = pdfplumber.open(io.BytesIO(page.pdf(format=paper,
                                                                       prefer_css_page_size=True)))
            page.close()
        return made[address, paper]

    yield pdf
    for each in made.values():
        each.close()
    context.close()


@pytest.fixture(params=sorted(SIZES))
def paper(request) -> str:
    """Both papers that people have at home."""
    return request.param


@pytest.fixture
def view(printer, built_site, paper) -> pdfplumber.PDF:
    """The print view of the first tutorial."""
    return printer(prints(built_site)[0], paper)


@pytest.fixture
def all_prints(printer, built_site, paper) -> dict[str, pdfplumber.PDF]:
    """Every second print view, on either paper the others; on Letter the own pages of two tutorials too.

    ``make bench`` prints all of them on both.
    """
    chosen = [address for address, each in alternating(prints(built_site), sorted(SIZES)) if each == paper]
    own = tutorials(built_site)[:2] if paper == "Letter" else []
    return {address: printer(address, paper) for address in chosen + own}


def test_a_print_takes_few_pages(browser, site_url, built_site, all_prints):
    """At most six pages of either paper in one unit, eight in both: what lies beside the work."""
    many = {address: len(pdf.pages) for address, pdf in all_prints.items()
            if address.endswith("print/") and len(pdf.pages) > 8}
    assert not many
    with browser.new_context(base_url=site_url) as context:
        page = context.new_page()
        for address, paper in alternating(prints(built_site), sorted(SIZES)):
            page.goto(f"{address}?units=in")
            page.evaluate("document.documentElement.dataset.units = 'in'")
            count = len(pypdfium2.PdfDocument(page.pdf(format=paper, prefer_css_page_size=True)))
            assert 2 <= count <= 6, (address, paper)


def signs_on(sheet: pdfplumber.page.Page) -> list[str]:
    """The signs of :data:`SIGNS` on one page: nothing else is set so small."""
    tiny = sheet.filter(lambda item: item["object_type"] == "char" and item["size"] < 2)
    return re.findall(r"(?:HEAD|FOOT)\d+", tiny.extract_text(x_tolerance=0.5, y_tolerance=0.2))


def greys(items) -> dict[tuple[float, ...], str]:
    """Every colour used, as it is given: one figure for grey, three for red, green and blue; patterns left
    out.
    """
    found = {}
    for item in items:
        for kind in ("stroking_color", "non_stroking_color"):
            colour = item.get(kind)
            figures = tuple(colour) if isinstance(colour, tuple | list) else (colour,)
            if all(isinstance(figure, int | float) for figure in figures):
                found[figures] = item["object_type"]
    return found


def test_no_step_is_cut_in_two(all_prints):
    """Head and foot of every step stand on one page, on the print view and on the tutorial's own page."""
    for address, pdf in all_prints.items():
        where = {sign: number for number, sheet in enumerate(pdf.pages) for sign in signs_on(sheet)}
        steps = len(where) // 2
        assert steps >= 2, address
        cut = [n for n in range(1, steps + 1) if where[f"HEAD{n}"] != where[f"FOOT{n}"]]
        assert not cut, f"{address}: steps {cut}"


def test_no_page_is_blank(all_prints):
    """Every sheet that comes out of the printer has something on it."""
    for address, pdf in all_prints.items():
        assert all(len(sheet.chars) > 40 for sheet in pdf.pages), address


def test_nothing_lies_outside_the_text_block(all_prints):
    """No letter, and no line of a picture, lies in the margin at the sides, where printers cannot reach."""
    for address, pdf in all_prints.items():
        for sheet in pdf.pages:
            letters = [c for c in sheet.chars if c["text"].strip()]
            left, right = min(c["x0"] for c in letters) * POINT, max(c["x1"] for c in letters) * POINT
            assert left >= MARGIN - 0.3 and right <= float(sheet.width) * POINT - MARGIN + 0.3, address
            drawn = [item for item in sheet.lines + sheet.curves if max(item["width"], item["height"]) > 0.1
                     # the rule is clipped, unseen by the reader
                     and (sheet.page_number > 1 or item["top"] * POINT > RULE)]
            assert all(item["x0"] * POINT >= MARGIN - 1
                       and item["x1"] * POINT <= float(sheet.width) * POINT - MARGIN + 1
                       for item in drawn), address


def test_the_paper_is_the_readers_own(view, paper):
    """The page sets margins and no size, so A4 and Letter both come out as they are, to half a millimetre."""
    for sheet in view.pages:
        assert (float(sheet.width) * POINT,
                float(sheet.height) * POINT) == pytest.approx(SIZES[paper], abs=0.5)


def test_the_rule_is_true_to_size(view):
    """Inches lie 25.4 mm apart on paper (1 in = 96 px = 72 pt, CSS Values and Units), centimetres 10 mm, to
    0.04 mm.
    """
    upright = [line for line in view.pages[0].lines + view.pages[0].curves
               if (line["x1"] - line["x0"]) * POINT < 0.28      # ticks are dashes a pixel wide, as outlines
               and abs((line["bottom"] - line["top"]) * POINT - 5) < 0.05]
    places = sorted({round((line["x0"] + line["x1"]) / 2 * POINT, 3) for line in upright})
    for step, count in ((25.4, 7), (10, 18)):
        for n in range(count):
            assert any(abs(place - places[0] - n * step) < 0.04 for place in places), f"{n} × {step} mm"


def test_black_ink_is_enough(view):
    """Letters and lines are grey or black, whatever scheme the screen has."""
    used = greys(item for sheet in view.pages
                 for item in sheet.chars + sheet.lines + sheet.curves + sheet.rects)
    letters = greys(char for sheet in view.pages for char in sheet.chars)
    assert used and not {colour: what for colour, what in used.items() if max(colour) - min(colour) > 0.02}
    assert letters and all(max(colour) < 0.45 for colour in letters)


def test_nothing_is_missing_on_paper(view, built_site, page):
    """Every word of the print view is printed: supplies, cautions, all steps, credit, revision mark."""
    squeezed = re.sub(r"\s+", "", "".join(sheet.extract_text() for sheet in view.pages))
    page.goto(prints(built_site)[0])
    page.emulate_media(media="print")
    words = page.evaluate("document.querySelector('main').innerText").split()
    missing = [word for word in dict.fromkeys(words) if len(word) > 3 and word.isalpha()
               and word not in squeezed]
    assert len(words) > 200 and not missing


def test_the_end_tells_which_print_this_is(view, built_site, page):
    """The last page has the revision mark of the tutorial's page and its address; every page has
    its number.
    """
    page.goto(tutorials(built_site)[0])
    mark = page.locator(".revision .mark").inner_text()
    assert re.fullmatch(r"[0-9A-HJKMNP-TV-Z]{6}", mark)     # Crockford's base 32 has no I, L, O and U
    # lines may be broken
    end = re.sub(r"\s+", "", "".join(char["text"] for char in view.pages[-1].chars))
    assert mark in end and page.url in end
    for number, sheet in enumerate(view.pages, 1):
        foot = sheet.crop((0, float(sheet.height) - 12 / POINT, sheet.width, sheet.height)).extract_text()
        assert foot.strip() == f"{number} / {len(view.pages)}"


def test_there_is_a_box_to_tick_for_each_supply_and_step(built_site, page):
    """On paper the reader ticks off what lies ready and what is done."""
    page.goto(prints(built_site)[0])
    steps = page.locator(".task").count()
    assert page.locator(".task .box").count() == steps >= 4
    for item in page.locator(".boxes li").all():
        assert item.evaluate("e => getComputedStyle(e, '::before').borderTopStyle") == "solid"


def test_the_first_page_says_what_is_needed(all_prints, page):
    """Every supply with a box stands on page one of each print view, step 1 on page one or two."""
    for address, pdf in all_prints.items():
        if not address.endswith("print/"):
            continue
        page.goto(address)
        page.emulate_media(media="print")
        wanted = page.evaluate("[...document.querySelectorAll('.supplies li')].map(e => e.innerText)")
        first = re.sub(r"\W+", "", pdf.pages[0].extract_text())
        words = [word for line in wanted for word in re.findall(r"[^\W\d]{4,}", line)]
        assert len(words) > 3 and not [word for word in words if word not in first], address
        assert any("HEAD1" in signs_on(sheet) for sheet in pdf.pages[:2]), address


def test_no_letter_is_smaller_than_seven_and_a_half_points(all_prints):
    """On paper nothing asks for a lens: letters of pictures, figures of fractions and small print too.

    Left out are the signs of this test and the figures of the rule at the head, which is a picture of a tool.
    """
    for address, pdf in all_prints.items():
        if not address.endswith("print/"):
            continue
        small = {(sheet.page_number, char["text"], round(char["size"], 2))
                 for sheet in pdf.pages for char in sheet.chars
                 if 2 <= char["size"] < 7.49 and char["upright"] and char["text"].strip()
                 and (sheet.page_number > 1 or char["top"] * POINT > RULE)}
        assert not small, (address, sorted(small)[:20])

def test_nothing_waits_to_be_opened(built_site, page):
    """No lazy picture and nothing folded away, which would be missing in print."""
    page.goto(prints(built_site)[0])
    assert page.locator(
        "[loading=lazy], details:not([open]), main [hidden]:not(#the-units, #the-printing, "
        "#the-address)").count() == 0


def test_the_choice_of_units_holds_on_paper(built_site, page):
    """Who chose inches prints inches."""
    page.goto(next(address for address in prints(built_site) if "tea-caddy" in address))
    page.get_by_role("radio", name="inches", exact=True).check()
    with pdfplumber.open(io.BytesIO(page.pdf(format="Letter", prefer_css_page_size=True,
                                             page_ranges="1,7-8"))) as pdf:
        text = "".join(sheet.extract_text() for sheet in pdf.pages)
    assert re.search(r"\bin\b", text) and not re.search(r"\d mm\b", text)
