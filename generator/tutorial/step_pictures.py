"""The pictures of a tutorial: one for each piece that a step works on, and one of each finished blank."""
from __future__ import annotations

from collections.abc import Mapping

from generator.drawing import StepPicture, overview_picture, step_pictures
from generator.tutorial.records import Tutorial


def pictures(tutorial: Tutorial) -> Mapping[int, tuple[StepPicture, ...]]:
    """Step number → its pictures, in the order of the pieces worked on."""
    return {step.number: step_pictures(tutorial.drawn, tutorial.regauged, step.number, tutorial.locale)
            for step in tutorial.steps if step.has_picture}


def overview(tutorial: Tutorial) -> tuple[StepPicture, ...]:
    """A picture of each finished blank with all of its marks."""
    return tuple(overview_picture(tutorial.drawn, tutorial.regauged, info.id, tutorial.locale)
                 for info in tutorial.drawn.pieces if not info.is_ribbon)
