"""Pages, styles and scripts without what only their authors need: comments and the white space between."""
from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from mkdocs.structure.files import File

_KEPT = re.compile(r"(<(pre|textarea|script)\b.*?</\2>)", re.S)
_INDENT = re.compile(r"\n\s*")
_STRING = re.compile(r"""("[^"\n]*"|'[^'\n]*')""")
_CSS_COMMENT = re.compile(r"/\*.*?\*/", re.S)
_CSS_SPACES = ((re.compile(r"\s+"), " "), (re.compile(r" ?([{};,]) ?"), r"\1"), (re.compile(r": "), ":"),
               (re.compile(r";}"), "}"))
# a comment with a quotation mark in it stays: it may be the end of a string
_JS_COMMENT = re.compile(r"""(?m)^\s*//.*\n?|\s+// [^"'`\n]*$|^\s+""")


def light_html(html: str) -> str:
    """HTML whose lines begin without white space, but for text that is shown as it is typed."""
    parts = _KEPT.split(html)       # text, what is kept, its name, text, …
    return "".join(part if k % 3 == 1 else _INDENT.sub("\n", part)
                   for k, part in enumerate(parts) if k % 3 != 2)


def light_css(css: str) -> str:
    """A stylesheet without comments and needless white space."""
    parts = _STRING.split(_CSS_COMMENT.sub("", css))
    return "".join(part if k % 2 else _light_rules(part) for k, part in enumerate(parts)).strip()


def _light_rules(css: str) -> str:
    for pattern, to in _CSS_SPACES:
        css = pattern.sub(to, css)
    return css


def light_js(script: str) -> str:
    """A script without comments of a line and without indentation."""
    return _JS_COMMENT.sub("", script)


def lighten_theme_files(files: Iterable[File], theme: str | None) -> None:
    """Let MkDocs write the theme's own styles and scripts without what readers have no use for."""
    for file in files:
        light = {".css": light_css, ".js": light_js}.get(Path(file.src_uri).suffix)
        if light and theme and file.abs_src_path and Path(file.abs_src_path).is_relative_to(theme):
            file.content_string = light(file.content_string)
