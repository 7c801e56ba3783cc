"""Read statements and expressions by precedence, without ever nesting deeper than a person would.

From the loosest to the tightest: ``or``, ``and``, ``not``, comparisons (which
chain), ``a..b``, ``+ -``, ``* /``, ``-`` before a value, then ``.property``,
``[k]``, ``[i..j]`` and the call. A newline ends a statement unless a bracket
is open. After a wrong statement the reading goes on with the next one.
"""
from __future__ import annotations

from typing import NamedTuple

from generator.findings import Finding, FindingError, Span, finding_error
from generator.language.syntax import syntax_errors
from generator.language.syntax.nodes import (
    AngleLiteral,
    Attribute,
    Binary,
    Call,
    Comparison,
    Expr,
    Keyword,
    LengthLiteral,
    Logic,
    Name,
    Negative,
    Not,
    NumberLiteral,
    Select,
    SelectSpan,
    SpanExpression,
    Statement,
    TextLiteral,
)
from generator.language.syntax.tokens import LOGIC_WORDS, Token, TokenCursor, parse_amount, tokenize

MAX_TREE_HEIGHT = 64            # levels of one expression's tree
MAX_WRONG_STATEMENTS = 40         # wrong statements listed for one fence

OR, AND, NOT, COMPARE, SPAN, SUM, PRODUCT = range(1, 8)
LEVELS = {"or": OR, "and": AND, "<": COMPARE, "<=": COMPARE, ">": COMPARE, ">=": COMPARE, "==": COMPARE,
          "!=": COMPARE, "..": SPAN, "+": SUM, "-": SUM, "*": PRODUCT, "/": PRODUCT}


class ParsedFence(NamedTuple):
    """What a fence says: its statements, what is wrong, and the names that wrong statements were to make."""

    statements: tuple[Statement, ...]
    findings: tuple[Finding, ...]
    unread_names: frozenset[str] = frozenset()


def read_fence(text: str, file: str, first_line: int, first_column: int = 1) -> ParsedFence:
    """As :func:`parse_fence`, with the names for which nobody else is to blame."""
    tokens, wrong_signs = tokenize(text, file, first_line, first_column, first_column)
    parser = Parser(tokens, file, text)
    return ParsedFence(parser.statements(), (*wrong_signs, *parser.findings), frozenset(parser.unread_names))


def parse_fence(text: str, file: str, first_line: int,
                first_column: int = 1) -> tuple[tuple[Statement, ...], tuple[Finding, ...]]:
    """The statements of a fence's text, and everything that is wrong with it.

    ``first_line`` is where the text begins in ``file``, ``first_column`` the
    column at which each of its lines begins. Wrong statements are left out.
    """
    parsed = read_fence(text, file, first_line, first_column)
    return parsed.statements, parsed.findings


def parse_expression(text: str, span_start: Span) -> tuple[Expr | None, tuple[Finding, ...]]:
    """The expression between {{ and }}; ``span_start`` says where ``text`` begins. None when it is wrong."""
    tokens, wrong_signs = tokenize(text, span_start.file, span_start.line, span_start.column)
    flat = tuple(t for t in tokens if t.kind != "newline")  # the braces are a bracket: lines do not matter
    parser = Parser(flat, span_start.file, text)
    try:
        return parser.lone_expression(), wrong_signs
    except FindingError as wrong:
        return None, (*wrong_signs, *wrong.findings)


class Parser(TokenCursor):
    """Methods named for what they read move the cursor behind that and return the node."""

    def __init__(self, tokens: tuple[Token, ...], file: str, text: str):
        super().__init__(tokens, file)
        self.text = text
        self.nested = 0                     # expressions being read
        self.heights: dict[int, int] = {}   # id of a node → levels of its tree
        self.findings: list[Finding] = []
        self.unread_names: set[str] = set()      # names that wrong statements were to make

    # --- statements

    def statements(self) -> tuple[Statement, ...]:
        """All statements up to the end; a wrong one is reported and passed over."""
        found = []
        while self.token.kind not in ("end", "cut"):
            if self.token.kind == "newline":
                self.at += 1
                continue
            begin = self.at
            try:
                found.append(self.statement())
            except FindingError as wrong:
                self.findings += wrong.findings
                self.unread_names |= syntax_errors.assigned_names(self.tokens, begin)
                self.at = syntax_errors.next_statement(self.tokens, begin, self.at, tuple(self.open))
                self.open, self.nested = [], 0
            if len(self.findings) >= MAX_WRONG_STATEMENTS:
                self.findings.append(syntax_errors.too_much(self.span(self.token)))
                return tuple(found)
        if self.token.kind == "cut":
            self._add_cut()
        return tuple(found)

    def _add_cut(self) -> None:
        if not any(f.code in ("too-much", "too-deep") for f in self.findings):
            self.findings.append(syntax_errors.too_much(self.span(self.token)))

    def statement(self) -> Statement:
        """One statement: a value that is named, or a bare call."""
        first, name = self.token, None
        self.heights.clear()
        if first.kind == "name" and self.following("=", ":"):
            name = syntax_errors.checked_name(self.take(), self.file, LOGIC_WORDS)
            if self.take().text == ":":
                raise syntax_errors.colon_after_name(first, self.file)
        value = self.expression(OR)
        if self.token.kind not in ("newline", "end"):
            raise syntax_errors.stray_token(self.before, self.token, self.file, named=name is not None)
        last = self.before
        if name is None and not isinstance(value, Call):
            raise syntax_errors.not_a_statement(value)
        return Statement(name, self.span(first) if name else None, value,
                         self.span(first).to(self.span(last)),
                         self.text[first.start:last.start + last.length])

    def lone_expression(self) -> Expr:
        """An expression with nothing behind it."""
        if self.token.kind == "name" and self.following("="):
            raise syntax_errors.statement_in_prose(self.span(self.token))
        value = self.expression(OR)
        if self.token.kind != "end":
            raise syntax_errors.stray_token(self.before, self.token, self.file, named=False)
        return value

    # --- operators

    def expression(self, least: int) -> Expr:
        """An expression whose operators bind at least as tightly as ``least``."""
        self.nested += 1
        if self.nested > MAX_TREE_HEIGHT:
            raise syntax_errors.too_deep(self.span(self.token))
        left = self._prefixed(least)
        while (level := self._level()) >= least:
            left = self._joined(left, level)
        self.nested -= 1
        return left

    def _level(self) -> int:
        token = self.token
        return LEVELS.get(token.text, 0) if token.kind in ("sign", "name") else 0

    def _prefixed(self, least: int) -> Expr:
        if self.sign("not"):
            if least > NOT:
                raise syntax_errors.bracketed_not(self.span(self.token))
            start = self.span(self.take())
            of = self.expression(NOT)
            return self._made(Not(of, start.to(of.span)), of)
        minuses = []
        while self.sign("-"):
            minuses.append(self.span(self.take()))
            if len(minuses) > MAX_TREE_HEIGHT:
                raise syntax_errors.too_deep(minuses[-1])
        value = self._with_postfixes()
        for start in reversed(minuses):
            value = self._made(Negative(value, start.to(value.span)), value)
        return value

    def _joined(self, left: Expr, level: int) -> Expr:
        if level == COMPARE:
            return self._comparison(left)
        op = self.take()
        right = self.expression(level + 1)
        span = left.span.to(right.span)
        if level in (OR, AND):
            return self._made(Logic(op.text, left, right, span), left, right)
        if level != SPAN:
            return self._made(Binary(op.text, left, right, span, self.span(op)), left, right)
        if self.sign(".."):
            raise syntax_errors.second_span(self.span(self.token))
        return self._made(SpanExpression(left, right, span), left, right)

    def _comparison(self, first: Expr) -> Expr:
        rest = []
        while self._level() == COMPARE:
            op = self.take()
            if self.sign(">", "<", "="):
                raise syntax_errors.turned_comparison(op, self.token, self.file)
            rest.append((op.text, self.expression(SPAN)))
        parts = [e for _, e in rest]
        return self._made(Comparison(first, tuple(rest), first.span.to(parts[-1].span)), first, *parts)

    # --- what stands behind a value

    def _with_postfixes(self) -> Expr:
        value = self._atom()
        while self.sign(".", "[", "("):
            if self.sign("("):
                raise syntax_errors.not_callable(self.before, self.token, self.file)
            value = self._property(value) if self.sign(".") else self._selection(value)
        return value

    def _property(self, of: Expr) -> Expr:
        self.take()
        token = self.token
        if token.kind != "name" or token.text in LOGIC_WORDS:
            raise syntax_errors.expected("the name of a property", self.before, token, self.file)
        name = self.take()
        span = self.span(name)
        return self._made(Attribute(of, name.text, span, of.span.to(span)), of)

    def _selection(self, of: Expr) -> Expr:
        self.begin()
        if self.sign("]"):
            raise syntax_errors.expected("a number that says which one is meant, as in [2],", self.before,
                                      self.token, self.file)
        index = self.expression(OR)
        span = of.span.to(self._closed("]"))
        if isinstance(index, SpanExpression):
            return self._made(SelectSpan(of, index.first, index.last, span), of, index.first, index.last)
        return self._made(Select(of, index, span), of, index)

    # --- values

    def _atom(self) -> Expr:
        token = self.token
        read = {"number": self._number, "angle": self._angle, "length": self._length, "text": self._words,
                "name": self._name}.get(token.kind)
        if token.kind == "name" and token.text in LOGIC_WORDS or read is None and token.text != "(":
            raise syntax_errors.expected("a value", self.before if self.at else None, token, self.file)
        return read(self.take()) if read else self._bracketed()

    def _number(self, token: Token) -> Expr:
        amount = parse_amount(token.text)
        assert amount is not None     # the tokens hold no other numbers
        return self._made(NumberLiteral(amount, self.span(token)))

    def _angle(self, token: Token) -> Expr:
        degrees = parse_amount(token.text.removesuffix("deg"))
        if degrees is None:
            raise finding_error("number-wrong", self.span(token), "this angle divides by nothing")
        return self._made(AngleLiteral(degrees, self.span(token)))

    def _length(self, token: Token) -> Expr:
        return self._made(LengthLiteral(token.text, self.span(token)))

    def _words(self, token: Token) -> Expr:
        return self._made(TextLiteral(token.text, self.span(token)))

    def _name(self, token: Token) -> Expr:
        return self._call(token) if self.sign("(") else self._made(Name(token.text, self.span(token)))

    def _bracketed(self) -> Expr:
        self.begin()
        value = self.expression(OR)
        if self.sign(","):
            raise syntax_errors.comma_in_brackets(self.span(self.token))
        self._closed(")")
        return value

    # --- calls

    def _call(self, name: Token) -> Expr:
        self.begin()
        args: list[Expr] = []
        keywords: list[Keyword] = []
        while not self.sign(")"):
            self._argument(args, keywords)
            if not self.sign(")", ","):
                raise self._unclosed()
            if self.sign(","):
                self.take()
        end = self._closed(")")
        node = Call(name.text, self.span(name), tuple(args), tuple(keywords), self.span(name).to(end))
        return self._made(node, *args, *(k.value for k in keywords))

    def _argument(self, args: list[Expr], keywords: list[Keyword]) -> None:
        token = self.token
        if token.kind == "name" and self.following("="):
            if any(k.name == token.text for k in keywords):
                raise finding_error("call-parameter", self.span(token),
                              f"“{token.text}” is given twice in one call", "keep one of the two")
            self.at += 2
            keywords.append(Keyword(token.text, self.expression(OR), self.span(token)))
            return
        args.append(self.expression(OR))
        if keywords:
            raise syntax_errors.late_argument(args[-1].span)

    # --- what must not be

    def _closed(self, sign: str) -> Span:
        """Read the closing bracket ``sign``; its place."""
        if not self.sign(sign):
            raise self._unclosed()
        return self.span(self.close())

    def _unclosed(self) -> FindingError:
        token, opening = self.token, self.open[-1]
        if token.kind == "end" or syntax_errors.begins_statement(self.tokens, self.at, opening):
            return syntax_errors.never_closed(opening, self.before, self.file)
        return syntax_errors.stray_token(self.before, token, self.file, named=True, opening=opening)

    def _made(self, node: Expr, *parts: Expr) -> Expr:
        """The node itself, unless its tree is too high to be meant."""
        height = 1 + max((self.heights.get(id(p), 1) for p in parts), default=0)
        if height > MAX_TREE_HEIGHT:
            raise syntax_errors.too_deep(node.span)
        self.heights[id(node)] = height
        return node
