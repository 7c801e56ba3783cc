"""What readers fetch has no comments and no indentation, and means the same."""
from __future__ import annotations

from generator.website.light_text import light_css, light_html, light_js


def test_pages_keep_what_is_shown_as_typed():
    """Indentation goes, but not that of code; words stay apart."""
    assert light_html("<p>\n   one\n  two</p>\n<pre>\n   a\n</pre>\n  <p>") == (
        "<p>\none\ntwo</p>\n<pre>\n   a\n</pre>\n<p>")


def test_styles_keep_their_meaning():
    """Spaces stay where they mean something: between selectors, around +, within strings."""
    assert light_css('/* x */\n.a .b,\n .c {\n  width: calc(1px + 2px);\n  content: " ; ";\n}\n'
                     '@media (min-width: 40rem) { a:hover { color: red } }') == (
        '.a .b,.c{width:calc(1px + 2px);content:" ; "}@media (min-width:40rem){a:hover{color:red}}')


def test_scripts_keep_their_strings():
    """Comments of a line go; what only looks like one, in a string, stays."""
    script = '// head\nconst a = "x // y"; // why\n  const b = 1; // it\'s\n\n  // more\n  f();\n'
    assert light_js(script) == (
        'const a = "x // y";\nconst b = 1; // it\'s\nf();\n')
