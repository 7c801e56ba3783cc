"""The pages' own policy holds in a browser: nothing of ours is kept out, and a script from the text
would be.
"""
from __future__ import annotations

from tests.site.test_pages import addresses

WATCH = ("document.addEventListener('securitypolicyviolation', e => (window.refused ||= "
         "[]).push(e.violatedDirective))")


def test_no_page_breaks_its_policy_and_the_policy_is_kept(browser, site_url, built_site):
    """Content Security Policy, level 3: nothing breaks it while a page loads and its controls are used.

    An inline script put into the page does not run.
    """
    context = browser.new_context(base_url=site_url)
    context.add_init_script(WATCH)
    page = context.new_page()
    for address in addresses(built_site):
        page.goto(address)
        assert page.evaluate("window.refused ?? []") == [], address
    page.goto(f"{addresses(built_site)[-1].split('/')[0]}/")
    page.evaluate("""() => { const s = document.createElement('script'); s.textContent = 'window.ran = true';
        document.body.append(s); }""")
    assert page.evaluate("window.ran") is None and page.evaluate("window.refused").count(
        "script-src-elem") == 1
    context.close()
