"""The layers of a template: one for each process, so that a print shop or a cutting machine can tell them apart.

Groups and types of processing steps are those of ISO 19593-1 as the PDF
Association models them (Dimensions and Legend: from memory). No conformance
is claimed.
"""
from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Layer:
    """``process`` is the group of a recording; ``group`` and ``kind`` say which processing step it is."""

    process: str
    name: str
    group: str = "Structural"
    kind: str = ""


# In the order in which they are drawn: what is cut lies over what is scored.
LAYERS = (
    Layer("glue", "Glue", kind="Gluing"),
    Layer("score", "Score", kind="Creasing"),
    Layer("score-valley", "Score valley", kind="Creasing"),
    Layer("score-mountain", "Score mountain", kind="Creasing"),
    Layer("tick", "Tick", kind="Creasing"),         # a tick is a short score at an edge
    Layer("punch", "Punch", kind="Punching"),
    Layer("cut", "Cut", kind="Cutting"),
    Layer("alignment", "Alignment", group="Legend"),        # how tiles are laid on each other
    Layer("dimensions", "Dimensions", group="Dimensions"),
    Layer("legend", "Legend", group="Legend"),
)
BY_PROCESS = {layer.process: layer for layer in LAYERS}
