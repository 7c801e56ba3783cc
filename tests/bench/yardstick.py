#!/usr/bin/env python3
"""The yardstick of speed: a plain MkDocs site of the weight of ours, the same for all times.

    python yardstick.py TUTORIALS FOLDER

writes FOLDER/mkdocs.yml with a bare theme and four Markdown pages a tutorial (13 steps, prose, a few lists
and tables, drawings of about 4.7 kB inlined as SVG), so that `mkdocs build` of it can be timed beside a build
of as many tutorials. Always the same bytes.
"""
import pathlib
import random
import sys

WORDS = ("fold crease card edge panel flap glue score cut template mountain valley ruler blade corner lid "
         "base tab wall grain paper weight "
         "thickness allowance measure align press burnish sheet square angle half quarter inner outer liner "
         "sleeve drawer hinge window box").split()
THEME = ('<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{{ page.title '
         '}}</title></head><body>{{ page.content }}</body></html>')
STEPS, DRAWING, PAGES = 13, 4700, 4


def sentence(rng, count):
    words = [rng.choice(WORDS) for _ in range(count)]
    for at in range(7, count, 11):
        words[at] = f"**{words[at]}**"
    return " ".join(words).capitalize() + "."


def drawing(rng, number):
    parts = ['<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 210 148" role="img" '
             f'aria-labelledby="t{number}"><title id="t{number}">Drawing {number}</title>']
    size = 0
    while size < DRAWING:
        x, y = rng.uniform(5, 200), rng.uniform(5, 140)
        part = rng.choice((f'<line class="cut" x1="{x:.3f}" y1="{y:.3f}" x2="{x + 30:.3f}" y2="{y:.3f}"/>',
                           f'<path class="mountain" d="M{x:.3f} {y:.3f}L{x + 20:.3f} '
                           f'{y + 5:.3f}L{x + 18:.3f} {y + 25:.3f}Z"/>',
                           f'<circle class="hole" cx="{x:.3f}" cy="{y:.3f}" r="1.2"/>',
                           f'<text class="dim" x="{x:.3f}" y="{y:.3f}">{x:.1f} mm</text>'))
        parts.append(part)
        size += len(part)
    return "".join(parts) + "</svg>"


def page(rng, number, total):
    out = [f"---\ntitle: Box {number}\ndescription: Tutorial {number}\n---\n# Box {number}\n",
           sentence(rng, 60)]
    for step in range(STEPS):
        out.append(f"\n## Step {step + 1}: {rng.choice(WORDS)} the {rng.choice(WORDS)}\n")
        out.append(sentence(rng, 45))
        out.extend(f"\n<figure>{drawing(rng, f'{step}-{each}')}</figure>\n" for each in range(2))
        if step % 3 == 0:
            out.append("\n" + "\n".join(f"{row + 1}. {sentence(rng, 10)}" for row in range(4)) + "\n")
        out.append(sentence(rng, 30) + f" See [another](t{rng.randrange(total):04d}.md).\n")
    return "\n".join(out)


def main(tutorials: int, folder: pathlib.Path) -> None:
    total, rng = tutorials * PAGES, random.Random(8670)
    (folder / "docs").mkdir(parents=True, exist_ok=True)
    (folder / "theme").mkdir(exist_ok=True)
    (folder / "theme" / "main.html").write_text(THEME)
    (folder / "mkdocs.yml").write_text(
        "site_name: Plain\ntheme: {name: null, custom_dir: theme}\nplugins: []\nmarkdown_extensions: "
        "[attr_list]\n")
    for number in range(total):
        (folder / "docs" / f"t{number:04d}.md").write_text(page(rng, number, total))


if __name__ == "__main__":
    main(int(sys.argv[1]), pathlib.Path(sys.argv[2]))
