"""The pages beside the tutorials, used in a browser: match a card, search, narrow the gallery."""
from __future__ import annotations

import shutil

import pytest
from click.testing import CliRunner
from mkdocs.__main__ import cli

from tests.site.conftest import ROOT

KEPT = "Object.entries(localStorage)"
WIDTH = "document.querySelector('.rule-sheet .rule').getBoundingClientRect().width"
CARD_WIDTH = "document.querySelector('.bank-card rect').getBoundingClientRect().width"


def test_a_match_with_a_card_is_kept_and_makes_the_rule_true(page):
    """The rule grows with the card's outline: 304.8 mm to 53.98 mm (ISO/IEC 7810); kept only after “It
    matches”.
    """
    page.goto("rules/")
    assert page.evaluate(KEPT) == []
    page.locator("#the-slide").fill("5.3")
    assert page.evaluate(WIDTH) / page.evaluate(CARD_WIDTH) == pytest.approx(304.8 / 53.98, rel=0.01)
    assert page.evaluate(WIDTH) == pytest.approx(304.8 * 5.3, rel=0.001) and page.evaluate(KEPT) == []
    page.get_by_role("button", name="It matches").click()
    assert len(page.evaluate(KEPT)) == 1 and page.locator("#the-matched").inner_text()
    page.reload()
    assert page.evaluate(WIDTH) == pytest.approx(304.8 * 5.3, rel=0.001)
    page.get_by_role("button", name="Forget the match").click()
    assert page.evaluate(KEPT) == [] and page.evaluate(WIDTH) == pytest.approx(304.8 * 96 / 25.4, rel=0.001)


def test_the_rule_is_there_without_a_script(browser, site_url):
    """As large as the browser thinks, and no control that does nothing."""
    context = browser.new_context(base_url=site_url, java_script_enabled=False)
    page = context.new_page()
    page.goto("rules/")
    assert page.locator(".rule-sheet .rule").is_visible() and not page.locator("#the-match").is_visible()
    context.close()


def test_the_search_leads_to_steps_and_words(page):
    """Every result leads to a place that is there."""
    page.goto("search/")
    page.get_by_role("searchbox").fill("PANELS sco")
    link = page.locator("#the-results a").first
    link.wait_for()
    assert link.inner_text() == "Score the panels" and page.locator("#the-found").inner_text().endswith(
        "found")
    link.click()
    page.wait_for_url("**/#score-the-panels")
    assert page.locator("#score-the-panels").is_visible()
    page.goto("search/?q=bone folder")
    page.locator("#the-results a").first.click()
    page.wait_for_url("**/glossary/#bone-folder")


@pytest.fixture(scope="module")
def two(tmp_path_factory):
    """A site of two tutorials that differ in level, time and tools."""
    root = tmp_path_factory.mktemp("two")
    shutil.copytree(ROOT / "tutorials" / "tea-caddy", root / "tutorials" / "tea-caddy")
    other = root / "tutorials" / "tea-tin"
    shutil.copytree(root / "tutorials" / "tea-caddy", other)
    text = (other / "index.md").read_text(encoding="utf-8")
    for old, new in (("level: medium", "level: easy"), ("time: 50 min", "time: 20 min")):
        assert old in text
        text = text.replace(old, new)
    (other / "index.md").write_text(text, encoding="utf-8")
    config = (ROOT / "mkdocs.yml").read_text(encoding="utf-8").replace("custom_dir: theme",
                                                                       f"custom_dir: {ROOT / 'theme'}")
    (root / "mkdocs.yml").write_text(config.replace("watch: [generator, theme]", ""), encoding="utf-8")
    run = CliRunner().invoke(cli, ["build", "--strict", "--config-file", str(root / "mkdocs.yml")])
    assert run.exit_code == 0, run.output
    return root / "site"


def test_the_gallery_is_narrowed_and_widened_again(browser, two, axe):
    """Only cards that fit stay; the choice stands in the address; all come back.

    From a folder, without a server.
    """
    context = browser.new_context(bypass_csp=True)
    page = context.new_page()
    faults = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto((two / "index.html").as_uri())
    assert page.locator(".card:visible").count() == 2
    page.get_by_label("Level").select_option("easy")
    assert page.locator(".card:visible h3 a").evaluate_all("a => a.map(e => e.getAttribute('href'))") == [
        "tea-tin/"]
    assert page.locator("#the-shown").inner_text() == "1 of 2 shown"
    assert axe(page) == [] and not faults
    page.get_by_role("button", name="Show all").click()
    assert page.locator(".card:visible").count() == 2
    # of one time and one size there is nothing to choose
    assert page.locator("#the-filters select").count() == 1
    context.close()


def test_every_filter_shows_what_it_says(page, built_site):
    """Of the real gallery each choice of shape or missing tool leaves the cards whose data say so."""
    page.goto("")
    for name in ("sides", "tools"):
        select = page.locator(f"#the-filters select[name={name}]")
        values = select.locator("option").evaluate_all("all => all.map(o => o.value).filter(Boolean)")
        assert values
        for value in values:
            select.select_option(value)
            cards = page.locator(".card").evaluate_all(
                f"all => all.map(c => [c.checkVisibility(), c.dataset.{name}.split('|')])")
            assert 0 < sum(seen for seen, _ in cards) < len(cards)
            assert all(seen == ((value in known) is (name == "sides")) for seen, known in cards)
        select.select_option("")


def test_without_a_script_the_gallery_is_a_plain_list(browser, two):
    """Every card, no control."""
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((two / "index.html").as_uri())
    assert page.locator(".card:visible").count() == 2 and not page.locator("#the-filters").is_visible()
    context.close()
