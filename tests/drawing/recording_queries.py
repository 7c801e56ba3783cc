"""Reading a recording in tests: what is drawn, what is said."""
from __future__ import annotations

from generator.drawing.pen import Role, Surface
from generator.drawing.recording import Recording
from generator.drawing.steps.step_picture import step_pictures
from tests.drawing.sample_plans import STEPS, caddy

DRAWN, OTHER = caddy("mm"), caddy("in")


def picture(name: str):
    """The last picture of a step of the caddy, by the step's title."""
    return step_pictures(DRAWN, OTHER, STEPS.index(name) + 1)[-1]


def texts(recording: Recording, system: str = "mm") -> list[str]:
    """What the labels say in one system."""
    return [getattr(i.arguments[0].words, "mm" if system == "mm" else "inch") for i in recording.of("label")]


def strokes(recording: Recording, role: Role, fresh: bool) -> list:
    """All strokes of one meaning."""
    return [s for i in recording.of("stroke") if i.arguments[1:] == (role, fresh) for s in i.arguments[0]]


def surfaces(recording: Recording) -> list[Surface]:
    """What areas are filled, in order."""
    return [i.arguments[1] for i in recording.of("area")]
