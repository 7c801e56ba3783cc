"""What stands behind a tutorial: its net was folded by the build, and boxes were really made from it."""
from __future__ import annotations

from collections.abc import Iterator

from generator.dataclass import dataclass
from generator.language.build_log import MadeBox
from generator.locale import ENGLISH, Locale
from generator.tutorial import Tutorial
from generator.units import as_text, display_measure


@dataclass(frozen=True, slots=True)
class MadeBoxView:
    """A box that was made: its day, how it was made and what it measured, words and photo of who made it."""

    day: str
    how: str
    words: str
    photo: str


def verification_note(tutorial: Tutorial, locale: Locale = ENGLISH) -> str:
    """"Checked by geometry, made by hand (twice, last in inches)"; "" where neither can be said."""
    line = ", ".join(filter(None, (_folding_note(tutorial, locale), _made_note(tutorial, locale))))
    return line[:1].upper() + line[1:]


def _folding_note(tutorial: Tutorial, locale: Locale) -> str:
    """Nothing where there is nothing to fold, or where a piece could not be judged."""
    pieces = [piece for done in tutorial.folds.values() for piece in done.pieces]
    if not pieces or not all(piece.judged for piece in pieces):
        return ""
    curved = any(piece.flat.soft_folds and piece.surface is None for piece in pieces)
    return locale.say("box.checked_but" if curved else "box.checked")


def _made_note(tutorial: Tutorial, locale: Locale) -> str:
    """Nothing without a log: nobody says then that a box was made."""
    count = len(tutorial.made)
    if not count:
        return ""
    times = locale.say("box.twice") if count == 2 else locale.count("box.times", count)
    return locale.say("box.made", times=times, units=locale.say(f"box.made_in.{tutorial.made[-1].edition}"))


def made_views(tutorial: Tutorial) -> tuple[MadeBoxView, ...]:
    """Each box of the log, the last one first."""
    return tuple(MadeBoxView(box.on.isoformat(), "; ".join(_how(box, tutorial.locale)), box.words, box.photo)
                 for box in reversed(tutorial.made))


def _how(box: MadeBox, locale: Locale) -> Iterator[str]:
    yield locale.say(f"templates.edition.{box.edition}")
    if box.paper:
        yield box.paper
    for name, each in box.measured.items():
        size = as_text(display_measure(each.quantity, each.system), locale)
        yield locale.say(f"box.measured.{name}", size=size)
