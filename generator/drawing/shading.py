"""How dark a face is: few flat tones from one light, which stands behind the reader's left shoulder."""
from __future__ import annotations

import numpy as np

from generator.drawing.camera import Camera

LIGHT = np.array((-0.45, 0.62, 0.64)) / np.linalg.norm((-0.45, 0.62, 0.64))    # right, upward, towards the eye
TONES = (0.16, 0.32, 0.50)      # darker than this is the next tone; so there are four, 1 the lightest
INSIDE = 0.10                   # so much darker is the plain side, which lies in the box


def shade(normals: np.ndarray, camera: Camera, side: str) -> np.ndarray:
    """0 for a face that the light strikes square, 1 for one turned right away from it; normals (… × 3) point to the reader."""
    lit = normals @ (LIGHT @ camera.axes)
    return np.minimum((1.0 - lit) / 2 + (INSIDE if side == "plain" else 0.0), 1.0)


def tone_of(dark: float) -> int:
    """The tone, from 1, of a shade."""
    return 1 + sum(dark > limit for limit in TONES)


def other_side(side: str) -> str:
    """What is on the back of a side."""
    return "printed" if side == "plain" else "plain"
