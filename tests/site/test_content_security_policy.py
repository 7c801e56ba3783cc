"""The pages' own policy holds in a browser: nothing of ours is kept out, and a script from the text
would be.
"""
from __future__ import annotations

from tests.site.page_visits import WATCH


def test_no_page_breaks_its_policy(visits):
    """Content Security Policy, level 3: nothing breaks it while a page loads and is looked at."""
    assert not {address: visit.refused for address, visit in visits.items() if visit.refused}


def test_the_policy_is_kept(browser, site_url):
    """An inline script put into the page does not run."""
    context = browser.new_context(base_url=site_url)
    context.add_init_script(WATCH)
    page = context.new_page()
    page.goto("tea-caddy/")
    page.evaluate("""() => { const s = document.createElement('script'); s.textContent = 'window.ran = true';
        document.body.append(s); }""")
    assert page.evaluate("window.ran") is None and page.evaluate("window.refused").count(
        "script-src-elem") == 1
    context.close()
