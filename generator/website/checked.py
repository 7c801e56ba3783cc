"""The line at the head of a page: checked by geometry; made by hand."""
from __future__ import annotations

from markupsafe import Markup

from generator.tongue import ENGLISH, Tongue
from generator.tutorial import Tutorial


def checked(tutorial: Tutorial, tongue: Tongue = ENGLISH) -> Markup:
    """What stands behind a tutorial: that its net was folded by the build, and that its author has made it, when and how."""
    parts = [Markup.escape(said) for said in (_folded(tutorial, tongue),) if said]
    if tutorial.front.made is not None:
        day = tutorial.front.made.on.isoformat()
        parts.append(Markup(tongue.say("box.made")).format(
            edition=tongue.say(f"box.edition.{tutorial.front.made.edition}"), day=Markup(f'<time datetime="{day}">{day}</time>')))
    line = Markup("; ").join(parts)
    return line[:1].upper() + line[1:]


def _folded(tutorial: Tutorial, tongue: Tongue) -> str:
    """Nothing where there is nothing to fold, or where a piece could not be judged."""
    pieces = [piece for done in tutorial.folds.values() for piece in done.pieces]
    if not pieces or not all(piece.judged for piece in pieces):
        return ""
    curved = any(piece.flat.soft_folds and piece.skin is None for piece in pieces)
    return tongue.say("box.checked_but" if curved else "box.checked")
