"""Slips of the hand, of the disk and of bad will: what :mod:`tests.bench.fuzz` does to a source."""
from __future__ import annotations

import random
import re
from collections.abc import Callable

from tests.tutorial.source_mutations import LINES, SIGNS

ODD = ("\ufeff", "\x00", "\r\n", "\r", "\x0b", "\u2028", "\x85", "\u202e", "\ud800", "\ufffe", "e\u0301" * 9,
       "😀", "ﷺ", "&a [1]", "*a", "!!python/object:os.system", "!!int '1'", "<<: *a",
       "---\n", "...\n", "%YAML 9\n",
       "[" * 40, "- " * 60, "> " * 60, "(" * 60, "{" * 30, "<b>", "<!--", "-->", "&#0;", "&#x202e;",
       "<b>html&#</b>",
       "http://[x", "](//[", "[x](http://[x)", "<http://[::>", "![](a.png)", "![x](../x.png)", "{: #a .b }",
       "1e309", "-0 mm", "0 mm", "1/0", "99999999 mm", "1/3 mm", "0.0001 mm", "5000 mm", "180 deg", "1 in",
       "|a|b|\n|-|-|\n", "~~~\n", "```geometry\n", "```\n", "## x\n", "{{ panel }}", "{{", "}}")
# what YAML gives another meaning than it seems to have
VALUES = ("&a", "*a", "&a [*a]", "*missing", "!!binary aGk=", "!!python/name:os.system", "!!set {a, b}",
          "!!omap [a: 1]", "!x y", "!!float .nan", ".inf", "-.INF", "0x1F", "0o17", "017", "1_000",
          "190:20:30",
          "2026-02-30", "2026-05-09", "2026-05-09T10:00:00Z", "null", "~", "no", "on", "[]", "{}", "''",
          '"\\ud800"',
          '"\\x00"', '"\\U0001F600"', '"\\u202e"', "|\n  a\n  b", ">-\n  a", "? a", "- a\n  - b",
          "{a: {b: {c: {}}}}",
          "[[[[[[]]]]]]", "<<", "=", "%", "@x", "`x`", "a: b: c", "'open", '"open', "x # y", "1e400", "-1",
          "0",
          "9" * 40, "é" * 300, "x" * 3000, "3 mm", "1 3/8 in", "30 gsm", "a4", "[a4, a4]",
          "{mm: 3 mm, in: 1/8 in}")
NUMBERS = ("0", "1", "2", "3", "7", "13", "60", "100", "1000", "1/2", "0.1", "-1", "4999", "0.01", "1 1/64",
           "33.333", "1e3", "5/0", "٣", "½")
NUMBER = re.compile(r"\d+(?: \d+/\d+|\.\d+|/\d+)?")
TOKEN = re.compile(r"\w+|[^\w\s]")
NAME = re.compile(r"[a-z]\w*(?:\.\w+)*")
KEYED = re.compile(r"(?m)^( *[\w-]+:) ?(.*)$")
BRACKETS = ("()", "[]", "{}", "**", "``", "““", '""', "\n\n", "<>", "||")


def damaged(text: str, chance: random.Random) -> bytes:
    """A text after one to three slips, never as it was."""
    raw = before = text.encode("utf-8", "surrogatepass")
    while raw == before:
        for _ in range(chance.choice((1, 1, 1, 1, 2, 3))):
            text = chance.choice(SLIPS)(text, chance)
        raw = text.encode("utf-8", "surrogatepass")
        if chance.random() < 0.06 and raw:
            at = chance.randrange(len(raw))
            raw = raw[:at] + bytes([raw[at] ^ 1 << chance.randrange(8)]) + raw[at + 1:]
        if not text:
            break
    return raw


def damaged_words(text: str, chance: random.Random) -> bytes:
    """A text after slips in one stretch of its prose alone, so that its paper most likely stays as it was."""
    parts = re.split(r"(?ms)(\A---\n.*?^---\n|^```geometry\n.*?^```\n)", text)
    at = chance.choice([k for k, part in enumerate(parts) if k % 2 == 0 and part.strip()] or [0])
    return b"".join(damaged(part, chance) if k == at else part.encode() for k, part in enumerate(parts))


def _insert(text: str, chance: random.Random) -> str:
    at = chance.randrange(len(text) + 1)
    return text[:at] + chance.choice((*ODD, *SIGNS)) + text[at:]


def _swapped(pattern: re.Pattern[str]) -> Callable[[str, random.Random], str]:
    """Two of what the pattern finds change places, or one takes that of the other."""
    def swap(text: str, chance: random.Random) -> str:
        found = list(pattern.finditer(text))
        if len(found) < 2:
            return text
        one, other = sorted(chance.sample(found, 2), key=lambda each: each.start())
        kept = chance.random() < 0.4
        return (text[:one.start()] + other[0] + text[one.end():other.start()] + (other if kept else one)[0]
                + text[other.end():])
    return swap


def _rows(text: str, chance: random.Random) -> str:
    rows = text.split("\n")
    at, other = chance.randrange(len(rows)), chance.randrange(len(rows))
    match chance.randrange(7):
        case 0:
            del rows[at]
        case 1:
            rows[at:at] = rows[at:at + chance.randrange(1, 6)] * chance.choice((1, 1, 3, 30))
        case 2:
            rows.insert(at, chance.choice(LINES))
        case 3:
            rows[at] = chance.choice(LINES)
        case 4:
            del rows[at:at + chance.randrange(1, 12)]
        case 5:
            rows[at], rows[other] = rows[other], rows[at]
        case _:
            rows[at] = " " * chance.randrange(1, 9) + rows[at]
    return "\n".join(rows)


def _step(text: str, chance: random.Random) -> str:
    """A step is forgotten, told twice, or comes at another place."""
    parts = re.split(r"(?m)^(?=## )", text)
    if len(parts) < 2:
        return text
    taken = parts.pop(chance.randrange(1, len(parts)))
    for _ in range(chance.randrange(3)):
        parts.insert(chance.randrange(1, len(parts) + 1), taken)
    return "".join(parts)


def _number(text: str, chance: random.Random) -> str:
    found = list(NUMBER.finditer(text))
    if not found:
        return text
    one = chance.choice(found)
    near = str(max(int(re.match(r"\d+", one[0])[0]) + chance.choice((-2, -1, 1, 2, 5)), 0))
    new = chance.choice((*NUMBERS, *[near] * 12, str(chance.randrange(1, 400)),
                         str(round(chance.random() * 90, 3))))
    return text[:one.start()] + new + text[one.end():]


def _value(text: str, chance: random.Random) -> str:
    """Another value under a key of YAML, or one value in two places by an anchor."""
    found = list(KEYED.finditer(text[:(text.find("\n---", 4) + 1) or len(text)]))
    if not found:
        return text
    one = chance.choice(found)
    new = chance.choice((*VALUES, f"&a {one[2]}", f"!!str {one[2]}", f"{one[2]} *a", one[2] + "\n" + one[0]))
    return f"{text[:one.start()]}{one[1]} {new}{text[one.end():]}"


def _nest(text: str, chance: random.Random) -> str:
    """A stretch within brackets, many within each other now and then."""
    start = chance.randrange(len(text) + 1)
    end = min(len(text), start + chance.randrange(60))
    left, right = chance.choice(BRACKETS)
    deep = chance.choice((1, 1, 2, 5, 40, 500))
    return text[:start] + left * deep + text[start:end] + right * deep + text[end:]


def _cut(text: str, chance: random.Random) -> str:
    at = chance.randrange(len(text) + 1)
    return text[:at] if chance.random() < 0.7 else text[at:]


def _letter(text: str, chance: random.Random) -> str:
    """A letter left out, doubled, or hit beside."""
    if not text:
        return text
    at = chance.randrange(len(text))
    return text[:at] + chance.choice(("", text[at] * 2,
                                      chance.choice("qwertzuiop asdfghjkl.,-yxcvbnm"))) + text[at + 1:]


def _letters(text: str, chance: random.Random) -> str:
    """Every letter or line end becomes another, as by a conversion gone wrong."""
    return chance.choice(("\ufeff" + text, text.replace("\n", "\r\n"), text.replace("\n", "\r"),
                          text.replace("\n", "\n\r", 3), text.replace(" ", "\u00a0"),
                          text.replace(" ", "\t", 40),
                          text.upper(), "\x00" + text, text.replace("-", "–"), text.replace('"', "”"),
                          text.replace("a", "а", 3), text.replace("e", "e\u0301", 5), text + "\x1a",
                          text.encode("utf-8", "replace").decode("latin-1"), text.rstrip("\n")))


SLIPS: tuple[Callable[[str, random.Random], str], ...] = (
    _insert, _insert, _swapped(TOKEN), _swapped(NAME), _swapped(NUMBER), _rows, _rows, _number, _number,
    _value, _nest,
    _letter, _letter, _step, _cut, _letters)
