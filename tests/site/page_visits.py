"""Every page of the built site, opened once: what a reader meets at each width and with wider spacing."""
from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from playwright.sync_api import Browser

# px; 320 is WCAG 2.2, success criterion 1.4.10: no sideways scrolling at this width
WIDTHS = (1280, 768, 480, 400, 360, 320)
ENDS = (1280, 320)

# WCAG 2.2, success criterion 1.4.12: what a reader may set without losing anything.
SPACING = (
    "* { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important }"
           " p { margin-block-end: 2em !important }")
SPACED = """text => { const sheet = new CSSStyleSheet(); sheet.replaceSync(text);
    document.adoptedStyleSheets = [sheet];
    const style = getComputedStyle(document.querySelector('h1'));
    return parseFloat(style.letterSpacing) / parseFloat(style.fontSize); }"""

CLIPPED = """() => [...document.querySelectorAll('main *, .top *, .foot *')].filter(e =>
    !e.closest('svg, .spoken, .rule-window, .sheet, .trouble thead') && e.clientWidth
    && ['hidden', 'clip'].includes(getComputedStyle(e).overflowX)
    && (e.scrollWidth > e.clientWidth || e.scrollHeight > e.clientHeight))
    .map(e => e.outerHTML.slice(0, 90))"""

# WCAG 2.2, 2.5.8: at least 24 by 24 px; a link within a sentence is exempt.
SMALL = """() => [...document.querySelectorAll('a, button, input, label, summary, select')].filter(e => {
    if (!e.checkVisibility() || e.matches('.skip, label input')) return false;
    const box = e.getBoundingClientRect();
    const alone = !e.matches('a') || e.parentElement.innerText.trim() === e.innerText.trim()
        || e.closest('nav, .top');
    return alone && (box.width < 24 || box.height < 24);
}).map(e => [e, e.getBoundingClientRect()])
    .map(([e, box]) => `${e.outerHTML.slice(0, 90)} ${box.width} × ${box.height}`)"""

# A single measure is one box of text; a list may break after a comma, a semicolon or an "and", and before a
# word such as "across".
BROKEN = """() => [...document.querySelectorAll('i.in:not(.spoken), i.mm:not(.spoken)')]
    .filter(e => e.checkVisibility() && !e.closest('.spoken')).map(e => {
    const lines = [...e.getClientRects()].map(box => Math.round(box.bottom));
    return [e.textContent, new Set(lines).size];
}).filter(([text, lines]) => lines > 1
    && !/[,;] | and | und |\\s×\\s|about |etwa\\s|\\sacross|\\sim\\sDurchmesser/.test(text))
    .map(([text]) => text)"""

WATCH = ("document.addEventListener('securitypolicyviolation', e => (window.refused ||= "
         "[]).push(e.violatedDirective))")
SCROLLED = "document.documentElement.scrollWidth"


@dataclass(frozen=True)
class Visit:
    """What one page showed, by the width of the screen in px; of ``ENDS`` where a figure is of them only."""

    wide: Mapping[int, int]             # px, of all that can be scrolled to
    broken: Mapping[int, list[str]]     # measures on two lines
    small: Mapping[int, list[str]]      # targets below 24 px, of ENDS
    spaced: Mapping[int, int]           # px, with wider spacing, of ENDS
    clipped: Mapping[int, list[str]]    # what is cut off by it, of ENDS
    refused: list[str]                  # what the page's own policy kept out


def visited(browser: Browser, site_url: str, addresses: Iterable[str]) -> dict[str, Visit]:
    """Open every page once, in one window, under its own policy.

    Fails on a script error, and on whatever is fetched from elsewhere.
    """
    faults: list[str] = []
    context = browser.new_context(base_url=site_url)
    context.add_init_script(WATCH)
    page = context.new_page()
    page.on("pageerror", lambda error: faults.append(f"{page.url}: script error: {error}"))
    context.route(elsewhere(site_url), refuse_in(faults))
    found = {}
    for address in addresses:
        page.goto(address)
        refused = page.evaluate("window.refused ?? []")
        seen: dict[str, dict[int, object]] = {name: {} for name in ("wide", "broken", "small", "spaced",
                                                                    "clipped")}
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 640})
            seen["wide"][width] = page.evaluate(SCROLLED)
            seen["broken"][width] = page.evaluate(BROKEN)
            if width in ENDS:
                seen["small"][width] = page.evaluate(SMALL)
        assert 0.119 < page.evaluate(SPACED, SPACING) < 0.121, "the wider spacing is there"
        for width in reversed(ENDS):
            page.set_viewport_size({"width": width, "height": 640})
            seen["spaced"][width] = page.evaluate(SCROLLED)
            seen["clipped"][width] = page.evaluate(CLIPPED)
        found[address] = Visit(refused=refused, **seen)
    context.close()
    assert not faults, "\n".join(faults)
    return found


def elsewhere(site_url: str) -> re.Pattern[str]:
    """Addresses that are not of the site; those of data and of what a script made have no host."""
    return re.compile(rf"^(?!{re.escape(site_url)}|data:|blob:|about:)")


def refuse_in(faults: list[str]) -> Callable:
    """A handler of requests that lets none go out and notes each."""
    def refuse(route) -> None:
        faults.append(f"fetches {route.request.url}")
        route.abort()
    return refuse
