"""The checkers of pages find what they are there to find."""
from __future__ import annotations

SOUND = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Tea</title></head>
<body><main><h1>Tea</h1><p>Loose leaf.</p></main></body></html>"""
FAULTY = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Tea</title></head>
<body><main><h1>Tea</h1><img src="data:image/gif;base64,R0lGODlhAQABAAAAACw="></main></body></html>"""


def test_the_accessibility_checker_finds_a_picture_without_words(browser, axe):
    """A sound page has no fault; a picture without alternative text is one."""
    page = browser.new_page()
    page.set_content(SOUND)
    assert axe(page) == []
    page.set_content(FAULTY)
    assert any(fault.startswith("image-alt") for fault in axe(page))
    page.close()


def test_the_html_checker_finds_a_broken_page(html_faults, tmp_path):
    """A sound page has no fault; one that closes what it never opened has."""
    (tmp_path / "sound.html").write_text(SOUND + "\n", encoding="utf-8")
    assert html_faults(tmp_path) == []
    (tmp_path / "faulty.html").write_text(SOUND.replace("</p>", "</p></div>") + "\n", encoding="utf-8")
    assert any(fault.startswith("faulty.html:2: close-order") for fault in html_faults(tmp_path))
