"""Change sources at random, as a slip of the hand or a bad paste would, starting from the examples of the
grammar.
"""
from __future__ import annotations

from collections.abc import Callable

from hypothesis import strategies as st

from tests.house.tracked_files import ROOT
from tests.language.grammar_examples import examples

CADDY = (ROOT / "tutorials" / "tea-caddy" / "index.md").read_text(encoding="utf-8")
SEEDS = tuple(example.source for example in examples()) + (CADDY,)
LINES = tuple(dict.fromkeys(row for seed in SEEDS for row in seed.split("\n") if row.strip()))

SIGNS = ("(", ")", "[", "]", ",", "=", "==", "..", ".", "+", "-", "*", "/", "<", ">=", "!=", ":", '"', "“",
         "×", "−", "…", "#", "{{", "}}",
         "```", "```geometry\n", "---\n", "## ", "\n", "\n\n", "\t", "\\", "|", "%", "&a", "*a", "!!", "½",
         "°", "é", "😀", "\u200b",
         "\u2028", "\x00", "\ud800", "\ufeff", "\r\n", " not ", " and ", " or ", "0", "1/0", "-1", "9" * 30,
         "1e9", "0.000001", " deg", " mm", " in",
         "panel", "wall", "strip", "panels", "sides", "hole", "card", ".first", ".last", ".bays", ".marks",
         ".each", ".all", ".edges",
         "[0]", "[1]", "[1..2]", "[99]", "left", "top", "middle", "mountain", "every(", "at(", "score(",
         "sqrt(", "tan(90 deg)", "around(",
         "1000", "100000", "not ", "x=", "y=", "because=", "(" * 99, "-" * 99)


def _stretch(text: str, at: float, length: int) -> tuple[int, int]:
    start = int(at * len(text))
    return start, min(len(text), start + length)


def _insert(text: str, at: float, length: int, sign: str, row: str) -> str:
    start, _ = _stretch(text, at, 0)
    return text[:start] + sign + text[start:]


def _delete(text: str, at: float, length: int, sign: str, row: str) -> str:
    start, end = _stretch(text, at, length)
    return text[:start] + text[end:]


def _double(text: str, at: float, length: int, sign: str, row: str) -> str:
    start, end = _stretch(text, at, length)
    return text[:end] + text[start:end] + text[end:]


def _swap(text: str, at: float, length: int, sign: str, row: str) -> str:
    start, end = _stretch(text, at, length)
    further = min(len(text), end + length)
    return text[:start] + text[end:further] + text[start:end] + text[further:]


def _replace(text: str, at: float, length: int, sign: str, row: str) -> str:
    start, end = _stretch(text, at, length)
    return text[:start] + sign + text[end:]


def _row(change: Callable[[list[str], int, str], None]) -> Callable[..., str]:
    def changed(text: str, at: float, length: int, sign: str, row: str) -> str:
        rows = text.split("\n")
        change(rows, int(at * len(rows)), row)
        return "\n".join(rows)
    return changed


def _swap_rows(rows: list[str], k: int, row: str) -> None:
    j = (k * 7 + 3) % len(rows)
    rows[k], rows[j] = rows[j], rows[k]


CHANGES = (_insert, _delete, _double, _swap, _replace,
           _row(lambda rows, k, row: rows.insert(k, row)),                  # a line of another source
           _row(lambda rows, k, row: rows.__setitem__(k, row)),
           _row(lambda rows, k, _: rows.pop(k)),
           _row(lambda rows, k, _: rows.insert(k, rows[k])),
           _row(_swap_rows))

_change = st.tuples(st.sampled_from(CHANGES), st.floats(0, 1, exclude_max=True),
                    st.sampled_from([1, 1, 2, 3, 5, 8, 20, 200]),
                    st.one_of(st.sampled_from(SIGNS), st.text(max_size=3)), st.sampled_from(LINES))


@st.composite
def changed_sources(draw: st.DrawFn, most: int = 4) -> str:
    """A source after one to ``most`` changes."""
    text = draw(st.sampled_from(SEEDS))
    for change, at, length, sign, row in draw(st.lists(_change, min_size=1, max_size=most)):
        text = change(text, at, length, sign, row)
    return text


_length = st.one_of(st.integers(1, 300), st.integers(1, 4800).map(lambda n: n / 16),
                    st.sampled_from([0.001, 1, 4999, 19_999]))


@st.composite
def other_measures(draw: st.DrawFn) -> str:
    """An example that reads, with any lengths and counts in its front matter."""
    text = draw(st.sampled_from([example.source for example in examples()]))
    lengths = {name: draw(_length) for name in ("panel", "wall", "foot", "tab", "bulge")}
    other = {name: value / 25 if draw(st.integers(0, 19)) else draw(_length) for name,
             value in lengths.items()}
    rows = text.split("\n")
    for k, row in enumerate(rows):
        if row.startswith("lengths:"):
            rows[k] = "lengths: {" + ", ".join(f"{n}: {v:.6f} mm" for n, v in lengths.items()) + "}"
        elif row.startswith("editions:"):
            rows[k] = "editions: {in: {" + ", ".join(f"{n}: {v:.6f} in" for n, v in other.items()) + "}}"
        elif row.startswith("counts:"):
            rows[k] = f"counts: {{sides: {draw(st.sampled_from([1, 2, 3, 4, 5, 8, 13, 100, 1000]))}}}"
    return "\n".join(rows)
