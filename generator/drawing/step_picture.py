"""The front end that draws what a step does to a piece of paper."""
from __future__ import annotations

import re
from dataclasses import dataclass, replace

from generator.drawing.composer import Composer
from generator.drawing.list_row import ListRow
from generator.drawing.recording import Recording
from generator.drawing.spells import Spell, spells
from generator.paper.records import Plan
from generator.paper.work_kinds import Effect
from generator.tongue import ENGLISH, Tongue


@dataclass(frozen=True, slots=True)
class StepPicture:
    """One picture. ``key`` is unique in a tutorial; ``rows`` are printed below the picture."""

    piece: str
    title: str
    description: str
    recording: Recording
    rows: tuple[ListRow, ...]
    key: str
    kind: str = "step"          # "whole" for the picture of a finished blank, "cutting" for that of a sheet
    system: str = ""            # the edition that alone it shows ("mm" or "in"), where each has a picture of its own


def step_pictures(drawn: Plan, other: Plan | None, step: int, tongue: Tongue = ENGLISH) -> tuple[StepPicture, ...]:
    """The pictures of a step: one for each piece, and one more each time a piece is turned between its work."""
    found = list(spells(drawn, step))
    shown = [spell for spell in found if not _only_serves(spell)] or found
    made, seen_before = [], {}
    for spell in shown:
        count = seen_before[spell.piece.id] = seen_before.get(spell.piece.id, 0) + 1
        key = f"step-{step}-{_slug(spell.piece.name)}" + (f"-{count}" if count > 1 else "")
        made.append(_drawn(Composer(drawn, other, spell, tongue=tongue), key))
    return tuple(made)


def _only_serves(spell: Spell) -> bool:
    """True for a ribbon that is only threaded or tied: it is shown on the piece that it goes through."""
    return spell.piece.is_ribbon and spell.does(Effect.THREAD, Effect.GATHER)


def _slug(name: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or "piece"


def overview_picture(drawn: Plan, other: Plan | None, piece: int, tongue: Tongue = ENGLISH) -> StepPicture:
    """All marks of a finished blank, as it lay at first, with every distance from its edges."""
    info = next(p for p in drawn.pieces if p.id == piece)
    state = drawn.state(piece)
    if state is None:
        raise ValueError(f"no statement makes the piece {info.name!r}")
    acts = tuple(act for act in drawn.acts if piece in act.pieces)
    whole = Spell(info, acts[-1].step, None, replace(state, lie=drawn.states[piece][0][1].lie), acts)
    picture = _drawn(Composer(drawn, other, whole, whole=True, tongue=tongue), f"whole-{_slug(info.name)}")
    return replace(picture, kind="whole")


def _drawn(composer: Composer, key: str) -> StepPicture:
    recording, rows = composer.draw()
    return StepPicture(composer.spell.piece.name, composer.title, composer.description, recording, rows, key)
