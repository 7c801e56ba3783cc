"""Inches, millimetres or both: the reader's choice, remembered only once it was made."""
from __future__ import annotations

import pytest

from tests.site.page_kinds import prints, tutorials

STORED = "Object.keys(localStorage)"


@pytest.fixture
def tutorial(built_site) -> str:
    return tutorials(built_site)[0]


def shown(page) -> dict[str, int]:
    """How many measures of each system are visible, in the text and in the pictures."""
    return page.evaluate("""() => {
        const seen = (selector) => [...document.querySelectorAll(selector)]
            .filter(e => e.checkVisibility()).length;
        return {in: seen('i.in'), mm: seen('i.mm'), dots: seen('.or'),
                drawn_in: seen('svg text.in'), drawn_mm: seen('svg text.mm')};
    }""")


def choose(page, word: str) -> None:
    page.get_by_role("radio", name=word, exact=True).check()


def offered(page) -> list[str]:
    """The files that a reader sees first, in their order."""
    return page.eval_on_selector_all(".yours a", """all => all.filter(e => e.checkVisibility())
        .map(e => e.getAttribute('href').split('/').pop())""")


def own_files(tutorial: str, chosen: str, hand: str = "") -> list[str]:
    """The files for one edition, paper and hand: all in one, template, project sheet, card and guides."""
    ends = ("-bundle", "", "-project-sheet", f"-bench-card{hand}", "-guides")
    return [f"{tutorial.rstrip('/')}-{chosen}{end}.pdf" for end in ends]


@pytest.mark.parametrize(("language", "address", "units"), [
    ("en-US", "tea-caddy/", "in"), ("en-GB", "tea-caddy/", "mm"), ("de-DE", "tea-caddy/", "mm"),
    ("en-US", "tea-caddy/de/", "mm"), ("en-US", "tea-caddy/?units=both", "both"),
    ("en-US", "tea-caddy/?units=mm", "mm"), ("en-US", "tea-caddy/?units=cubits", "in")])
def test_languages_and_links_decide_until_the_reader_chooses(browser, site_url, language, address, units):
    """One system, by the languages of page and browser, or what a link asks for; nothing is kept."""
    context = browser.new_context(base_url=site_url, locale=language)
    page = context.new_page()
    page.goto(address)
    found = shown(page)
    assert page.evaluate("document.documentElement.dataset.units") == units
    assert (found["in"] > 10) == (units != "mm") and (found["mm"] > 10) == (units != "in")
    assert (found["dots"] > 10) == (units == "both")
    assert page.evaluate(STORED) == [] and context.cookies() == []
    context.close()


def test_paper_and_missing_tools_are_asked_once(page, tutorial):
    """The files offered first are for the chosen edition, paper and hand; what serves instead of a missing
    tool stands beside it; both hold on the next page, and taken back nothing is left of the tools.
    """
    page.goto(tutorial)
    page.locator(".household summary").click()
    assert offered(page) == own_files(tutorial, "in-letter")
    page.get_by_role("radio", name="A4", exact=True).check()
    assert offered(page) == own_files(tutorial, "in-a4")
    choose(page, "millimetres")
    page.locator("#the-left-hand").check()
    assert offered(page) == own_files(tutorial, "mm-a4", "-left")
    choose(page, "inches")
    page.locator("#the-left-hand").uncheck()
    assert page.locator(".names .instead:visible").count() == 0
    page.get_by_role("checkbox", name="Scoring board", exact=True).check()
    assert page.locator(".names .instead:visible").count() == 1
    page.goto("soap-tray/")
    assert page.locator(".names .lacking").inner_text().startswith("Scoring board")
    page.locator(".household summary").click()
    page.get_by_role("checkbox", name="Scoring board", exact=True).uncheck()
    assert set(page.evaluate(STORED)) == {"foldgauge-paper", "foldgauge-units"}


@pytest.mark.parametrize(("word", "gone", "left"), [("inches", "mm", "in"), ("millimetres", "in", "mm")])
def test_a_choice_changes_text_and_pictures(page, tutorial, word, gone, left):
    """The other system leaves the sentences and the drawings, and the dots between go with it."""
    page.goto(tutorial)
    choose(page, "both")
    before = shown(page)
    choose(page, word)
    after = shown(page)
    assert after[gone] == after[f"drawn_{gone}"] == after["dots"] == 0
    assert (after[left], after[f"drawn_{left}"]) == (before[left], before[f"drawn_{left}"])


def test_a_choice_leaves_out_the_sheet_plans_of_the_other_edition(page):
    """Where the two editions are cut otherwise, each has a picture that says so; a reader of inches sees that
    of the inches.
    """
    page.goto("soap-tray/")
    choose(page, "both")
    page.eval_on_selector_all("details.stock", "all => all.forEach(e => { e.open = true; })")
    metric, inch = page.locator(".stock .only-mm"), page.locator(".stock .only-in")
    assert (metric.first.is_visible() and inch.first.is_visible()
            and "Metric edition" in metric.first.inner_text())
    choose(page, "inches")
    assert not metric.first.is_visible() and inch.first.is_visible()


def test_a_choice_is_remembered_on_every_page(page, built_site):
    """Chosen on one page, it holds on the gallery and on the print view, before the first line is shown."""
    page.goto(tutorials(built_site)[0])
    choose(page, "inches")
    for address in (prints(built_site)[0], ""):
        page.goto(address, wait_until="commit")
        page.wait_for_function("document.body")     # what stands in the head has run by then
        assert page.evaluate("document.documentElement.dataset.units") == "in"
        page.wait_for_load_state()
        assert page.get_by_role("radio", name="inches", exact=True).is_checked() and shown(page)["mm"] == 0


def test_the_choice_can_be_taken_back(page, tutorial):
    """Both means both again."""
    page.goto(f"{tutorial}?units=both")
    before = shown(page)
    choose(page, "inches")
    choose(page, "both")
    assert shown(page) == before
    page.goto(tutorial)
    assert shown(page) == before


def test_the_keyboard_chooses(page, tutorial):
    """The arrow keys move along the control, as in every group of radio buttons."""
    page.goto(tutorial)
    page.get_by_role("radio", name="both", exact=True).check()
    page.keyboard.press("ArrowLeft")
    assert page.get_by_role("radio", name="millimetres").is_checked() and shown(page)["in"] == 0


def test_a_browser_that_keeps_nothing_still_obeys(browser, site_url, tutorial):
    """Where storage is forbidden the choice holds for the page, and no script fails."""
    page = browser.new_page(base_url=site_url)
    faults = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.add_init_script(
        "Object.defineProperty(window, 'localStorage', {get() { throw new DOMException('no'); }})")
    page.goto(tutorial)
    choose(page, "inches")
    assert shown(page)["mm"] == 0 and not faults
    page.close()


def test_without_a_script_both_are_there(browser, site_url, tutorial):
    """No control that does nothing, every measure in both systems, and all text and pictures in the page."""
    context = browser.new_context(base_url=site_url, java_script_enabled=False)
    page = context.new_page()
    page.goto(tutorial)
    assert not page.locator("#the-units").is_visible()
    assert page.locator("i.in").count() == page.locator("i.mm").count() > 10
    assert page.locator("i.in").first.is_visible() and page.locator("i.mm").first.is_visible()
    assert page.locator("figure.picture svg").first.is_visible()
    context.close()
