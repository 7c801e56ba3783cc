"""foldgauge new: a commented first source that builds."""
from __future__ import annotations

import re
from importlib.resources import files
from pathlib import Path

import click

from generator.commands.sources import is_there

SLUG = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
LONGEST = 60    # signs


@click.command()
@click.argument("slug", metavar="SLUG")
@click.option("--in", "folder", default="tutorials", show_default=True, metavar="FOLDER", type=click.Path(path_type=Path),
              help="The folder that holds the tutorials.")
def new(slug: str, folder: Path) -> None:
    """Write a first source into tutorials/SLUG/index.md, with comments. Nothing that is there is overwritten."""
    if not SLUG.fullmatch(slug) or len(slug) > LONGEST:
        raise click.UsageError(f"'{slug}' cannot be part of an address: use small letters, digits and hyphens, "
                               f"{LONGEST} at most, for example tea-tin")
    target = folder / slug / "index.md"
    text = files("generator.commands").joinpath("first.md").read_text(encoding="utf-8")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with target.open("x", encoding="utf-8") as out:
            out.write(text.replace("TITLE", slug.replace("-", " ").capitalize()))
    except FileExistsError:
        raise click.UsageError(f"{target if is_there(target) else target.parent} is there already; "
                               "choose another name, or edit that one") from None
    except (OSError, ValueError) as error:
        raise click.UsageError(f"{target} cannot be written: {(getattr(error, 'strerror', None) or str(error)).lower()}") from None
    click.echo(f"{target} is written. Check it with: foldgauge check {target}")
