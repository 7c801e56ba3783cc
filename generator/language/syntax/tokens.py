"""Signs that the language does not have: what was meant by them, and what to type instead.

Cut the text of a fence, or of an expression in prose, into tokens.

One pass over each line; every token knows its line and column. A sign pasted
from a word processor is reported and then read as what it stands for, so that
it costs one finding and not two.

A place among tokens, and the brackets that are open there.
"""
from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from typing import NamedTuple

from generator.findings import Finding, Span, finding

# Signs that word processors put in the place of those on the keyboard: sign → what it stands for.
PASTED_SIGNS = {
    "×": "*", "·": "*", "⋅": "*", "∙": "*", "∗": "*", "÷": "/", "⁄": "/", "∕": "/",
    "−": "-", "–": "-", "—": "-", "‐": "-", "‑": "-", "‒": "-",
    "≤": "<=", "≥": ">=", "≠": "!=", "＝": "=", "…": "..", "‥": "..",
    "，": ",", "（": "(", "）": ")",
}
QUOTE_PAIRS = {"“": "”", "”": "”", "„": "“”", "«": "»", "»": "«", "‘": "’", "’": "’", "'": "'", "`": "`"}
VULGAR_FRACTIONS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅕": "1/5", "⅖": "2/5",
                    "⅗": "3/5",
             "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}

_SIGN_HINTS = {
    ";": "write one statement a line, without a sign at its end",
    "^": "write a*a for a square",
    "²": "write a*a for a square",
    "³": "write a*a*a for a cube",
    "%": "divide by 100 instead",
    "&": "write the word and",
    "|": "write the word or",
    "!": "write the word not, or != for “differs from”",
    "°": "write the angle's unit as a word: 60 deg",
    "√": "write sqrt(…)",
    "{": "{{ … }} belongs into the prose; here names and calls stand without it",
    "}": "{{ … }} belongs into the prose; here names and calls stand without it",
    "\\": "a statement goes on in the next line when a bracket is still open",
    "′": "lengths are named in the front matter; here only their names stand",
    "″": "lengths are named in the front matter; here only their names stand",
}


def printable_sign(sign: str) -> str:
    """A sign as a message can print it: itself, or its name where nothing would be seen."""
    if sign.isprintable() and not sign.isspace():
        return f"“{sign}”"
    return f"an invisible sign ({unicodedata.name(sign, f'U+{ord(sign):04X}').lower()})"


def typing_hint(sign: str) -> str:
    """The hint for a sign which stands for nothing here."""
    if sign in PASTED_SIGNS:
        return f"type {PASTED_SIGNS[sign]} instead (word processors change it)"
    if sign in VULGAR_FRACTIONS:
        return f"write {VULGAR_FRACTIONS[sign]}"
    if not sign.isprintable() or sign.isspace():
        return "delete it and type the line again; word processors put such signs in"
    return _SIGN_HINTS.get(sign, "take it out")


MAX_TOKENS = 20_000    # of one fence; a box needs some hundred
MAX_SIGN_FINDINGS = 40      # of signs; beyond, the text is not of this language at all
MAX_TOKEN_LENGTH = 40            # signs of a number or a name
MAX_QUOTED_LENGTH = 1000         # signs between two quotation marks that belong together

_FRACTION_SIGNS = "".join(VULGAR_FRACTIONS)
_SUPERSCRIPTS = "²³¹"     # digits to some, letters to others; in no name
_AMOUNT_END = rf"[0-9]+/[0-9]+|[0-9]*[ \xa0]?[{_FRACTION_SIGNS}]|[0-9]+(?:\.[0-9]+)?)"
_LENGTH = r"(?:(?:[0-9]+(?:[ \xa0]+|-))?" + _AMOUNT_END
_ANGLE = r"(?:(?:[0-9]+[ \xa0]+)?" + _AMOUNT_END     # without a hyphen: 90-45/2 deg takes away
_UNIT = (r"(?:[ \t\xa0]*(?:mm|cm|dm|m|in|inch|inches|millimet(?:re|er)s?|centimet(?:re|er)s?)(?![\w(])"
         "|[\"”″])")
_TOKEN = re.compile("|".join([
    r"(?P<space>\s+)",
    r"(?P<comment>\#.*)",
    rf"(?P<length>{_LENGTH}{_UNIT})",
    rf"(?P<angle>{_ANGLE}[ \t\xa0]*deg(?!\w))",
    r"(?P<number>[0-9]+(?:\.[0-9]+)?)",
    rf"(?P<name>[^\W\d{_FRACTION_SIGNS}{_SUPERSCRIPTS}][^\W{_FRACTION_SIGNS}{_SUPERSCRIPTS}]*)",
    r'(?P<text>"[^"]*(?:"|$))',
    r"(?P<sign>\.\.|<=|>=|==|!=|[-+*/()\[\],.=<>:])",
    r"(?P<other>.)",
]))
_PLAIN_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_]*\Z")


class Token(NamedTuple):
    """One word or sign.

    ``kind`` is "number", "length", "angle", "text", "name", "sign", "newline",
    "wrong" (reported already), "end" or "cut" (the limit was met here).
    ``text`` is the token without quotes, ``length`` and ``start`` where it
    stands in the text that was cut up.
    """

    kind: str
    text: str
    line: int
    column: int
    length: int
    start: int

    def span(self, file: str) -> Span:
        """Where the token stands in ``file``."""
        return Span(file, self.line, self.column, max(1, self.length))


def parse_amount(text: str) -> Fraction | None:
    """The number written ``7``, ``0.5``, ``1/4``, ``22 1/2``, ``22½``; None when it divides by nothing."""
    for sign, plain in VULGAR_FRACTIONS.items():
        text = text.replace(sign, f" {plain}")
    try:
        return sum((Fraction(part) for part in text.split()), Fraction(0))
    except ZeroDivisionError:
        return None


def tokenize(text: str, file: str, line: int = 1, column: int = 1,
             margin: int = 1) -> tuple[tuple[Token, ...], tuple[Finding, ...]]:
    """All tokens of a text, "end" (or "cut") last, and what is wrong with its signs.

    ``line`` and ``column`` say where the text begins in ``file``; its other
    lines begin at column ``margin``. Every line ends with a "newline".
    """
    cutter = _Tokenizer(file)
    start = 0
    for number, row in enumerate(text.split("\n")):
        if not cutter.cut_line(row, line + number, column if number == 0 else margin, start):
            break
        start += len(row) + 1
    else:
        cutter.tokens.append(cutter.tokens[-1]._replace(kind="end"))
    return tuple(cutter.tokens), tuple(cutter.findings)


class _Tokenizer:
    """The tokens and findings of one text, as far as it has been cut."""

    def __init__(self, file: str):
        self.file = file
        self.tokens: list[Token] = []
        self.findings: list[Finding] = []
        self.reported: set[tuple[int, str]] = set()     # a sign unknown to the language is told once a line

    def cut_line(self, row: str, line: int, column: int, start: int) -> bool:
        """Add the tokens of one line; False when a limit was met."""
        at = 0
        while at < len(row):
            if len(self.tokens) >= MAX_TOKENS or len(self.findings) >= MAX_SIGN_FINDINGS:
                self.tokens.append(Token("cut", "", line, column + at, 1, start + at))
                return False
            match = _TOKEN.match(row, at)
            assert match is not None and match.lastgroup is not None    # "other" matches any sign
            kind, found = match.lastgroup, match.group()
            if kind == "other":
                found = self._other(row, at, Token("wrong", found, line, column + at, 1, start + at))
            elif kind not in ("space", "comment"):
                self._add(Token(kind, found, line, column + at, len(found), start + at))
            at += len(found)
        self.tokens.append(Token("newline", "", line, column + len(row), 1, start + len(row)))
        return True

    def _add(self, token: Token) -> None:
        if token.kind == "text":
            token = self._closed_text(token)
        elif token.kind in ("number", "angle", "length", "name") and token.length > MAX_TOKEN_LENGTH:
            token = self._too_long(token)
        elif token.kind == "name" and not _PLAIN_NAME.match(token.text):
            self._report("sign-unknown", token, f"“{token.text}” is not a name of this language",
                         "names are made of the letters a to z, digits and _")
            token = token._replace(kind="wrong")
        self.tokens.append(token)

    def _closed_text(self, token: Token) -> Token:
        if token.length < 2 or not token.text.endswith('"'):
            self._report("words-wrong", token, "these words are begun with \" and never ended",
                         'put a " behind the last word, in the same line')
            return token._replace(kind="wrong", text=token.text[1:])
        return token._replace(text=token.text[1:-1])

    def _too_long(self, token: Token) -> Token:
        what = "name" if token.kind == "name" else "number"
        self._report("words-wrong", token, f"a {what} of {token.length} signs is longer than any plan needs",
                     f"{MAX_TOKEN_LENGTH} signs are the most")
        return token._replace(kind="wrong")

    def _other(self, row: str, at: int, token: Token) -> str:
        """Report a sign that is not on the list; add what it stands for; return the stretch it covers."""
        sign = token.text
        closing = QUOTE_PAIRS.get(sign)
        end = min((e for e in (row.find(c, at + 1, at + MAX_QUOTED_LENGTH) for c in closing or "") if e > 0),
                  default=-1)
        if end > 0:
            return self._quoted(row[at:end + 1], token)
        if sign in PASTED_SIGNS:
            self._report("sign-unknown", token, f"{printable_sign(sign)} is not a sign of this language",
                         typing_hint(sign))
            self.tokens.append(token._replace(kind="sign", text=PASTED_SIGNS[sign]))
            return sign
        end = at + 1
        while end < len(row) and row[end] == sign:
            end += 1
        stretch = row[at:end]
        token = token._replace(length=len(stretch))
        hint = 'words stand between two " signs' if closing else typing_hint(sign)
        if (token.line, sign) not in self.reported:
            self._report("sign-unknown", token, f"{printable_sign(sign)} is not a sign of this language",
                         hint)
        self.reported.add((token.line, sign))
        self.tokens.append(token)
        return stretch

    def _quoted(self, stretch: str, token: Token) -> str:
        self._report("sign-unknown", token,
                     f"{printable_sign(token.text)} is not the quotation mark of this language",
                     'type " before and after the words (word processors change it)')
        self.tokens.append(token._replace(kind="text", text=stretch[1:-1], length=len(stretch)))
        return stretch

    def _report(self, code: str, token: Token, message: str, hint: str) -> None:
        self.findings.append(finding(code, token.span(self.file), message, hint))


LOGIC_WORDS = frozenset({"or", "and", "not"})


class TokenCursor:
    """Moves over ``tokens``, of which the last is "end" or "cut".

    Newlines count only where no bracket is open.
    """

    def __init__(self, tokens: tuple[Token, ...], file: str):
        self.tokens, self.file = tokens, file
        self.at = 0
        self.open: list[Token] = []     # brackets not closed yet

    @property
    def token(self) -> Token:
        """The token at the cursor."""
        while self.open and self.tokens[self.at].kind == "newline":
            self.at += 1
        return self.tokens[self.at]

    @property
    def before(self) -> Token:
        """The last token that was read, newlines aside."""
        at = self.at - 1
        while at > 0 and self.tokens[at].kind == "newline":
            at -= 1
        return self.tokens[max(at, 0)]

    def take(self) -> Token:
        """The token at the cursor, which moves behind it."""
        token = self.token
        self.at += 1
        return token

    def sign(self, *texts: str) -> bool:
        """True where the token at the cursor is one of these signs or joining words."""
        token = self.token
        return token.text in texts and (token.kind == "sign"
                                        or token.kind == "name" and token.text in LOGIC_WORDS)

    def following(self, *texts: str) -> bool:
        """True where the token behind the one at the cursor is one of these signs."""
        token = self.tokens[min(self.at + 1, len(self.tokens) - 1)]
        return token.kind == "sign" and token.text in texts

    def begin(self) -> None:
        """Read an opening bracket."""
        self.open.append(self.take())

    def close(self) -> Token:
        """Read the closing bracket at the cursor; a newline behind it counts again."""
        closing = self.token
        self.open.pop()
        self.at += 1
        return closing

    def span(self, token: Token) -> Span:
        """Where a token stands in the file that is read."""
        return token.span(self.file)
