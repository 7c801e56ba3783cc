"""The catalogue of the interface's words: complete, and with nothing in it that no page says."""
from __future__ import annotations

import re
from pathlib import Path

from generator.locale import ENGLISH

ROOT = Path(__file__).resolve().parents[2]
TEMPLATES = "".join(path.read_text(encoding="utf-8") for path in sorted((ROOT / "theme").rglob("*.html")))
CODE = "".join(path.read_text(encoding="utf-8") for path in sorted((ROOT / "generator/website").glob("*.py")))

FILES = ("file_",)          # the kinds of files are named after the files


def test_templates_ask_for_words_that_are_there():
    """A missing word would leave a hole in the page, silently."""
    asked = set(re.findall(r"\bsay\.(\w+)", TEMPLATES))
    assert len(asked) > 20 and asked <= set(ENGLISH.section("website"))


def test_no_word_is_left_over():
    """What no page says has no place in the catalogue; some are named by their beginning."""
    said = set(re.findall(r"\bsay\.(\w+)", TEMPLATES)) | set(re.findall(r"website\.(\w+)", CODE))
    begun = tuple(re.findall(r"say\['(\w+_)' ~", TEMPLATES) + re.findall(r"website\.(\w+_)\{", CODE)) + FILES
    assert not [key for key in ENGLISH.section("website") if key not in said and not key.startswith(begun)]


def test_templates_have_no_words_of_their_own():
    """All text between tags comes from the catalogue, a source or the settings, so that it can be
    translated.
    """
    bare = re.sub(r"\{#.*?#\}|\{% block kind %\}\w+|\{%.*?%\}|\{\{.*?\}\}|<!doctype html>|<[^>]*>", " ",
                  TEMPLATES, flags=re.S)
    assert not re.findall(r"[A-Za-z]{2,}", bare)
