"""A place among tokens, and the brackets that are open there."""
from __future__ import annotations

from generator.findings import Span
from generator.language.tokens import Token

KEYWORDS = frozenset({"or", "and", "not"})


class Cursor:
    """Moves over ``tokens``, of which the last is "end" or "cut"; newlines count only where no bracket is open."""

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
        """Is the token at the cursor one of these signs or joining words?"""
        token = self.token
        return token.text in texts and (token.kind == "sign" or token.kind == "name" and token.text in KEYWORDS)

    def following(self, *texts: str) -> bool:
        """Is the token behind the one at the cursor one of these signs?"""
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
        return token.span(self.file)
