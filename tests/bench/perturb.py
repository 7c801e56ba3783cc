"""Whether what is said and drawn of every tutorial is the same on every processor.

Run as ``python tests/bench/perturb.py [SLUG …]``. Each tutorial is folded
:data:`TIMES` times with its coordinates and starting angles disturbed, and its
findings compared; then it is worked out under other code paths of the linear
algebra and of numpy, each in a process of its own since they are chosen once at
the start, and findings, words and pictures are compared by their digests.
Ends with status 1 where anything differs.
"""
from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))     # before what is of the project is imported

from generator.drawing.backends.svg import svg  # noqa: E402
from generator.drawing.folded.fold_pictures import fold_pictures  # noqa: E402
from generator.drawing.folded.slider_data import slider_data  # noqa: E402
from generator.drawing.steps.step_picture import step_pictures  # noqa: E402
from generator.tutorial import load  # noqa: E402
from generator.tutorial.troubleshooting import troubleshoot  # noqa: E402
from generator.units import default_bench  # noqa: E402
from tests.folding.perturb import differing, lines  # noqa: E402

TIMES = 20
BENCHES = {system: default_bench(system) for system in ("mm", "in")}
NO_AVX512 = "AVX512F AVX512CD AVX512_SKX AVX512_CLX AVX512_CNL AVX512_ICL AVX512_SPR"
PATHS = {       # what a process is told before it starts → its name
    "Haswell": {"OPENBLAS_CORETYPE": "Haswell"},
    "SkylakeX": {"OPENBLAS_CORETYPE": "SkylakeX"},
    "Zen": {"OPENBLAS_CORETYPE": "Zen"},
    "Nehalem": {"OPENBLAS_CORETYPE": "Nehalem"},
    "Prescott": {"OPENBLAS_CORETYPE": "Prescott"},
    "without AVX-512": {"OPENBLAS_CORETYPE": "Haswell", "NPY_DISABLE_CPU_FEATURES": NO_AVX512},
    "without AVX2": {"OPENBLAS_CORETYPE": "Prescott", "NPY_DISABLE_CPU_FEATURES": f"{NO_AVX512} AVX2 FMA3"},
}


def sources(slugs: list[str]) -> list[Path]:
    """The sources of the tutorials that are asked for, or of all."""
    found = sorted((ROOT / "tutorials").glob("*/index.md"))
    return [path for path in found if not slugs or path.parent.name in slugs]


def digest(text: str) -> str:
    """A short name of a long text."""
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def digests(path: Path) -> dict[str, object]:
    """What is found, said and drawn of one tutorial."""
    loaded = load(path, None, BENCHES, cache={})
    tutorial = loaded.tutorial
    made: dict[str, object] = {f"finding {k}": row for k, row in enumerate(lines(loaded.findings))}
    if tutorial is None:
        return made
    said = (tutorial.intro, tutorial.steps, tutorial.differ, tutorial.revisions)
    made |= {"facts": repr(tutorial.facts), "steps": repr(said),
             "cautions": repr(tutorial.cautions),
             "trouble": repr(troubleshoot(tutorial)),
             "folded": repr([each.facts for each in tutorial.folds.values()])}
    folded = fold_pictures(tutorial.drawn, tutorial.drawn_fold)
    pictures = {f"shape {step}": each for step, each in folded.steps.items()}
    if folded.finished is not None:
        pictures["finished"] = folded.finished
    for step in tutorial.steps:
        if step.has_picture:
            found = step_pictures(tutorial.drawn, tutorial.regauged, step.number)
            pictures |= {f"step {step.number} {k}": each for k, each in enumerate(found)}
    for name, each in pictures.items():
        drawn = svg(each.recording, each.title, each.description, each.key)
        made[f"picture {name}"] = digest(drawn)
    made["slides"] = digest(repr(slider_data(tutorial.drawn, tutorial.drawn_fold)))
    return made


def under(settings: dict[str, str], slugs: list[str]) -> dict[str, dict[str, object]]:
    """The digests of all tutorials as a process with these settings finds them."""
    command = [sys.executable, "-W", "ignore", str(Path(__file__)), "--digests", *slugs]
    environment = {**os.environ, **settings}
    done = subprocess.run(command, check=True, cwd=ROOT, env=environment, stdout=subprocess.PIPE)
    return json.loads(done.stdout)


def report(slugs: list[str], times: int = TIMES) -> Iterator[str]:
    """What differs, a row each."""
    for path in sources(slugs):
        for seed, rows in differing(lambda path=path: load(path, None, BENCHES).findings, times).items():
            yield from (f"{path.parent.name}, disturbed {seed}: {row}" for row in rows)
    plain = under({}, slugs)
    for name, settings in PATHS.items():
        for slug, made in under(settings, slugs).items():
            for key in sorted({*made, *plain[slug]}):
                if made.get(key) != plain[slug].get(key):
                    long = key.startswith(("picture", "slides"))
                    both = "" if long else f"\n  - {plain[slug].get(key)}\n  + {made.get(key)}"
                    yield f"{slug}, {name}: {key}{both}"


def main(arguments: list[str]) -> int:
    """Print the digests of a process, or what differs; the status to end with."""
    if arguments[:1] == ["--digests"]:
        print(json.dumps({path.parent.name: digests(path) for path in sources(arguments[1:])}))
        return 0
    count = 0
    for row in report(arguments):
        count += 1
        print(row, flush=True)
    print(f"{count} differences")
    return int(count > 0)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
