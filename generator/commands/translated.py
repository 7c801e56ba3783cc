"""foldgauge translated: note in a translation which words it was made from."""
from __future__ import annotations

import sys
from pathlib import Path

import click

from generator.commands.recorded import sources_named
from generator.commands.sources import display_path, load_source, sound_tutorial
from generator.files import NotWritten, write_files
from generator.language.source.document import read_document
from generator.language.source.files_beside import TRANSLATION_FILE
from generator.regauge.rewriting import UnwritableSource, rewrite_key
from generator.tutorial.followed_words import words_digests


@click.command()
@click.argument("names", nargs=-1, required=True, metavar="SLUG…")
@click.option("--language", metavar="CODE", help="Only this translation, such as de.")
def translated(names: tuple[str, ...], language: str | None) -> None:
    """Note in translations that they follow the words of now, after somebody has looked through them.

    From then on a step that changes in English is reported in its translation, and said on its page.
    """
    for source in sources_named(names):
        found = {path: path.read_bytes() for path in sorted(source.parent.glob("index.*.md"))
                 if (match := TRANSLATION_FILE.match(path.name)) and language in (None, match[1].lower())}
        if not found:
            raise click.UsageError(f"{display_path(source.parent)} has no translation" + (
                f" into {language}" if language else ""))
        loaded = load_source(source)
        tutorial = sound_tutorial(source, loaded)
        digests = " ".join(words_digests(read_document(display_path(source), loaded.source), tutorial.front))
        _write(source.parent, {path.name: _noted(path, text, digests) for path, text in found.items()})
        for path in found:
            click.echo(f"{display_path(path)}: follows the words of now")


def _noted(path: Path, before: bytes, digests: str) -> bytes:
    try:
        return rewrite_key(before.decode("utf-8"), "follows", digests).encode("utf-8")
    except (UnicodeDecodeError, UnwritableSource) as error:
        raise click.ClickException(f"{display_path(path)}: {error}") from None


def _write(folder: Path, files: dict[str, bytes]) -> None:
    try:
        write_files(folder, files)
    except NotWritten as error:
        click.echo(str(error), err=True)
        sys.exit(1)
