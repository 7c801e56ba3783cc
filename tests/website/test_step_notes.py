"""What the tools of a step ask for stands on the page and in print; the author's table does not."""
from __future__ import annotations

import pytest

NOTE = "//p[@class='note reach']"


@pytest.mark.parametrize("page", ["soap-sleeve/index.html", "soap-sleeve/print/index.html"])
def test_a_long_strip_is_told_to_be_moved_on(project, edited, page):
    """Panels of 160 mm or 6 1/4 in reach beyond both boards: the note says so in both systems, in the step
    that scores.
    """
    edited("lengths: {panel: 60 mm", "lengths: {panel: 160 mm")
    edited("in: {panel: 2 3/8 in", "in: {panel: 6 1/4 in")
    assert project.build().exit_code == 0
    note, = project.page(page).xpath(NOTE)
    text = " ".join(note.text_content().replace("\xa0", " ").split())
    assert "The strip is longer than the board, which reaches" in text and "move it on" in text
    assert "300 mm" in text and "160 mm" in text and "12 in" in text
    assert "Score" in note.xpath("ancestor::*[starts-with(@class, 'task')]//h2")[0].text_content()


def test_no_note_where_the_board_is_long_enough(project):
    """The strip of the stall lies on any board."""
    assert project.build().exit_code == 0
    assert not project.page("soap-sleeve/index.html").xpath(NOTE)


def test_readers_are_spared_the_table_of_conversions(project):
    """What was drawn and converted is for the author's preview; the built page has one measure for each
    edition.
    """
    assert project.build().exit_code == 0
    page = project.page("soap-sleeve/index.html")
    assert not page.xpath(
        "//*[contains(@class, 'conversions')]") and "exact conversion" not in page.text_content()
