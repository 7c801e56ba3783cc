"""The fold slider: the file that its program folds the box from, and the names of its places."""
from __future__ import annotations

import hashlib
import json
import posixpath
from collections.abc import Mapping
from dataclasses import dataclass, field

from generator.drawing.folded.slider_data import (
    ANGLE_RESOLUTION,
    PLAN_RESOLUTION,
    SURFACE_RESOLUTION,
    SliderData,
)
from generator.tutorial import Tutorial

SLIDER_FILE = "fold-{}.json"
HASH_DIGITS = 12         # of the hash: a page and the file that it asks for always belong together


@dataclass(frozen=True, slots=True)
class SliderFile:
    """A file beside the page, the same in every language."""

    name: str
    data: bytes
    slides: SliderData


@dataclass(frozen=True, slots=True)
class SliderStop:
    """A place of the slider: what it is called, and the step that leads to it, where one does."""

    words: str
    anchor: str = ""
    number: int = 0


@dataclass(frozen=True, slots=True)
class SliderView:
    """The places from the first to the last, and the place at which each step ends, by step number."""

    name: str
    stops: tuple[SliderStop, ...]
    ends: Mapping[int, int] = field(default_factory=dict)


def slider_file(slides: SliderData | None, view: tuple[float, float]) -> SliderFile | None:
    """The data as JSON; ``view`` is from where the still pictures are seen, in degrees.

    The same plan gives the same bytes.
    """
    if slides is None:
        return None
    told = {"fine": PLAN_RESOLUTION, "coarse": SURFACE_RESOLUTION, "turn": ANGLE_RESOLUTION,
            "view": [round(angle, 2) for angle in view],
            "places": len(slides.steps), "lid": -1 if slides.lid is None else slides.lid,
            "bodies": slides.bodies}
    data = json.dumps(told, separators=(",", ":"), allow_nan=False).encode()
    return SliderFile(SLIDER_FILE.format(hashlib.sha256(data).hexdigest()[:HASH_DIGITS]), data, slides)


def slider_view(file: SliderFile | None, tutorial: Tutorial) -> SliderView | None:
    """What a page says of its places, in its own language."""
    if file is None:
        return None
    steps, words = {step.number: step for step in tutorial.steps}, tutorial.locale
    stops = [SliderStop(words.say("website.fold_flat"))]
    stops += [SliderStop(steps[number].title, steps[number].anchor, number) for number in file.slides.steps]
    if file.slides.lid is not None:
        stops.append(SliderStop(words.say("website.finished")))
    return SliderView(file.name, tuple(stops),
                      {number: place for place, number in enumerate(file.slides.steps, start=1)})


def slider_address(uri: str, name: str) -> str:
    """Where the file stands below the site, for the tutorial whose source is at ``uri``."""
    return posixpath.join(posixpath.dirname(uri), name)
