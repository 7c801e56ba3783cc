"""Signs that the language does not have: what was meant by them, and what to type instead."""
from __future__ import annotations

import unicodedata

# Signs that word processors put in the place of those on the keyboard: sign → what it stands for.
PASTED = {
    "×": "*", "·": "*", "⋅": "*", "∙": "*", "∗": "*", "÷": "/", "⁄": "/", "∕": "/",
    "−": "-", "–": "-", "—": "-", "‐": "-", "‑": "-", "‒": "-",
    "≤": "<=", "≥": ">=", "≠": "!=", "＝": "=", "…": "..", "‥": "..",
    "，": ",", "（": "(", "）": ")",
}
QUOTES = {"“": "”", "”": "”", "„": "“”", "«": "»", "»": "«", "‘": "’", "’": "’", "'": "'", "`": "`"}
FRACTIONS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5",
             "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}

_MEANT = {
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


def shown(sign: str) -> str:
    """A sign as a message can print it: itself, or its name where nothing would be seen."""
    if sign.isprintable() and not sign.isspace():
        return f"“{sign}”"
    return f"an invisible sign ({unicodedata.name(sign, f'U+{ord(sign):04X}').lower()})"


def what_to_type(sign: str) -> str:
    """The hint for a sign which stands for nothing here."""
    if sign in PASTED:
        return f"type {PASTED[sign]} instead (word processors change it)"
    if sign in FRACTIONS:
        return f"write {FRACTIONS[sign]}"
    if not sign.isprintable() or sign.isspace():
        return "delete it and type the line again; word processors put such signs in"
    return _MEANT.get(sign, "take it out")
