"""The pictures of folded paper as the theme is handed them, and the one that stands for a tutorial elsewhere."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from generator.drawing import Recording, StepPicture, legend
from generator.tutorial import Tutorial
from generator.tutorial.shapes import fold_pictures
from generator.website.pictures import PictureView, card_view, legend_items, picture_view


@dataclass(frozen=True, slots=True)
class Shapes:
    """``finished`` for the head of the page and ``steps`` by number; ``front`` for the gallery.

    ``standing`` is what stands for the tutorial elsewhere: the finished piece,
    or its first blank where nothing tells how far that is folded.
    """

    finished: PictureView | None = None
    steps: Mapping[int, PictureView] = field(default_factory=dict)
    front: PictureView | None = None
    standing: Recording | None = None
    view: tuple[float, float] = (0.0, 0.0)      # yaw and pitch from which all of them are seen, in degrees


def shapes(tutorial: Tutorial, blanks: Sequence[StepPicture], key: str) -> Shapes:
    """Draw them all. ``blanks`` are the pictures of the paper before it is folded; ``key`` is unique in the gallery."""
    drawn, tongue = fold_pictures(tutorial), tutorial.tongue
    stands = drawn.finished or (blanks[0] if blanks else None)
    if stands is None:
        return Shapes()
    front = card_view(stands, key)
    finished = None
    if drawn.finished is not None:
        finished = replace(card_view(drawn.finished, "finished"),
                           legend=legend_items(legend(drawn.finished.recording, tongue), "", ""))
    steps = {number: picture_view(picture, "after", tongue) for number, picture in drawn.steps.items()}
    return Shapes(finished, steps, front, stands.recording, drawn.view)
