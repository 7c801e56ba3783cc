"""If yours does not close, on the page and in the print view."""
from __future__ import annotations

import pytest
from lxml import html


@pytest.mark.parametrize("page", ("", "print/"))
def test_the_table_stands_on_the_page_and_in_the_print_view(built_site, page):
    """Each row has an address of its own, its heading, what to measure with the way to its step, and what to
    do.
    """
    tree = html.fromstring((built_site / "tea-caddy" / page / "index.html").read_text(encoding="utf-8"))
    section, = tree.xpath("//section[contains(@class, 'trouble')]")
    rows = section.xpath(".//tbody/tr")
    ids = set(tree.xpath("//@id"))
    assert rows and all(row.get("id").startswith("if-") for row in rows)
    for row in rows:
        assert row.xpath("./th[@scope='row']") and len(row.xpath("./td")) == 2
        links = row.xpath(".//td//a/@href")
        assert links and all(link.removeprefix("#") in ids for link in links)
    assert 1 <= len(tree.xpath("//p[@class='measure-here']")) <= 3
