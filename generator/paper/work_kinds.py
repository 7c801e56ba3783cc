"""The one table of what can be done to paper: a record for each kind of mark and each kind of act.

Whoever must know what a verb does (to the paper, to the reader's tools, on a
template, in words) asks its record here and never compares the verb's name:
a new kind is a new record, and every output knows it.
"""
from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from generator.dataclass import dataclass


class Effect(StrEnum):
    """What an act does, as far as anything after it must know."""

    BLANK = "blank"             # lays a piece of paper on the table
    RIBBON = "ribbon"           # brings something that is not paper
    MARK = "mark"               # works lines, ticks or holes on a piece
    CUT_AWAY = "cut away"       # takes an area off a piece
    ATTACH = "attach"           # draws panels on to a net
    FOLD = "fold"
    GLUE = "glue"
    SEAM = "seam"               # edges meet
    THREAD = "thread"           # a ribbon goes through holes
    GATHER = "gather"           # a top is drawn together
    TURN = "turn"               # the piece is turned or turned over on the table
    DECORATE = "decorate"       # a face is stamped or embossed
    KEEP_CLEAR = "keep clear"   # an area is left free for decoration
    NAME = "name"               # nothing happens to the paper


@dataclass(frozen=True, slots=True)
class MarkKind:
    """One kind of mark.

    ``cuts`` parts the paper along the line; ``folds`` weakens it so that it may
    be folded there, and ``must_fold`` says that it serves nothing else;
    ``is_hole`` takes a round hole; ``takes_ribbon`` lets a ribbon through;
    ``measured`` gives the length of the line where all of a group are alike.
    ``process`` is the key of its record in the table of processes, which
    has its line, its layer and its colour. ``tool`` makes it where the source
    names none, ``aid`` is needed besides, ``noun`` is what messages call one of
    it. ``word`` is the verb, and the key of its words in the catalogues.
    """

    word: str
    process: str
    tool: str
    noun: str
    aid: str | None = None
    cuts: bool = False
    folds: bool = False
    must_fold: bool = False
    is_hole: bool = False
    takes_ribbon: bool = False
    measured: bool = False
    at_board: bool = False      # done while the piece still lies flat: nothing may be glued yet

    @property
    def is_line(self) -> bool:
        """A line across panels: two of them may not lie on each other, and a guide can lead it."""
        return self.cuts or self.folds

    @property
    def is_tick(self) -> bool:
        """It only shows a place and leaves the paper as it is."""
        return not (self.is_line or self.is_hole)

    @property
    def spoils(self) -> bool:
        """It shows on the finished face."""
        return self.is_line or self.is_hole


@dataclass(frozen=True, slots=True)
class ActKind:
    """One kind of act.

    ``effect`` says what it does; ``tool`` what it needs besides the tools of its
    marks (a key of the tools' words), None for nothing; ``at_board`` that it is
    done while the piece still lies flat; ``words`` the phrase of messages;
    ``by_size`` that width and height are set at the tool's marks.
    """

    word: str
    effect: Effect
    tool: str | None = None
    at_board: bool = False
    words: str = ""
    by_size: bool = False

    @property
    def joins(self) -> bool:
        """It closes the box: faces, edges or petals meet."""
        return self.effect in (Effect.GLUE, Effect.SEAM, Effect.THREAD, Effect.GATHER)

    @property
    def leaves_trace(self) -> bool:
        """It changes the paper, its place or what is known of its surface."""
        return self.effect is not Effect.NAME


_MARKS = (
    MarkKind("score", "score", "board", "score", "stylus", folds=True, must_fold=True, at_board=True),
    MarkKind("tick", "tick", "board", "tick"),
    MarkKind("cut", "cut", "trimmer", "cut", cuts=True, measured=True, at_board=True),
    MarkKind("perforate", "perforate", "rule", "perforation", "perforate", folds=True, measured=True,
             at_board=True),
    MarkKind("slit", "cut", "rule", "slit", "knife", cuts=True, takes_ribbon=True, measured=True),
    MarkKind("punch", "punch", "rule", "hole", "punch", is_hole=True, takes_ribbon=True),
)

_ACTS = (
    ActKind("sheet", Effect.BLANK, "trimmer", by_size=True),
    ActKind("panel", Effect.BLANK, "knife"),
    ActKind("liner", Effect.BLANK, "trimmer"),
    ActKind("band", Effect.BLANK, "trimmer"),
    ActKind("ribbon", Effect.RIBBON),
    *(ActKind(kind.word, Effect.MARK, kind.aid, kind.at_board) for kind in _MARKS),
    ActKind("remove", Effect.CUT_AWAY, "trimmer", at_board=True),
    ActKind("notch", Effect.CUT_AWAY, "knife"),
    ActKind("attach", Effect.ATTACH),
    ActKind("fold", Effect.FOLD, "fold"),
    ActKind("glue", Effect.GLUE, "glue"),
    ActKind("seam", Effect.SEAM),
    ActKind("thread", Effect.THREAD, "thread"),
    ActKind("gather", Effect.GATHER),
    ActKind("turn", Effect.TURN),
    ActKind("turn_over", Effect.TURN),
    ActKind("clear", Effect.KEEP_CLEAR, words="keeps clear"),
    ActKind("stamp", Effect.DECORATE, at_board=True, words="stamps"),
    ActKind("emboss", Effect.DECORATE, at_board=True, words="embosses"),
    ActKind("faces", Effect.NAME),
    ActKind("expect", Effect.NAME),
    ActKind("finish", Effect.NAME),
)

MARK_KINDS: Mapping[str, MarkKind] = MappingProxyType({kind.word: kind for kind in _MARKS})
ACT_KINDS: Mapping[str, ActKind] = MappingProxyType({kind.word: kind for kind in _ACTS})
