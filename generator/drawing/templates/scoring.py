"""How a machine makes the scores: to the edge or short of it, in one stroke or as a dashed cut."""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from generator.geometry import Stroke, share_at

LEAST = 0.5     # mm; a score is never made shorter than this


@dataclass(frozen=True, slots=True)
class Scoring:
    """``short`` mm that a score stops before an edge it would run into; ``dash`` mm of each cut and gap, 0 for a score.

    A score that runs into the edge tears there when a machine drags its tool
    off the paper (common practice, no source). A machine without a scoring
    tool can cut dashes instead.
    """

    short: float = 0.0
    dash: float = 0.0

    def made(self, scores: Sequence[Stroke], edges: Sequence[Stroke]) -> tuple[Stroke, ...]:
        """The scores as the machine makes them; ``edges`` is what they must stay short of."""
        return tuple(part for score in scores for part in self._dashed(self._shortened(score, edges)))

    def _shortened(self, score: Stroke, edges: Sequence[Stroke]) -> Stroke:
        size = float(score.length())
        first, last = (self.short / size if self.short and any(share_at(edge, score.at(end)) is not None for edge in edges)
                       else 0.0 for end in (0, 1))
        if (1 - first - last) * size < LEAST:
            return score
        return score.part(first, 1 - last) if first or last else score

    def _dashed(self, score: Stroke) -> Iterator[Stroke]:
        """Dashes and gaps of equal length, as near to ``dash`` as fits, with a dash at both ends."""
        size = float(score.length())
        if not self.dash or size < 3 * self.dash:
            yield score
            return
        parts = 2 * round((size / self.dash - 1) / 2) + 1
        yield from (score.part(k / parts, (k + 1) / parts) for k in range(0, parts, 2))
