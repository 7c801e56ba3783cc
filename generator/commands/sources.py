"""Which sources a command is asked about, and what is printed of those that are not sound."""
from __future__ import annotations

import hashlib
import json
import sys
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from os.path import normpath
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn, TypeVar

import click

from generator.commands import VERBOSE
from generator.commands.bench_settings import configured_benches, site_folder
from generator.files import STORE_FOLDER, FileCache, code_version
from generator.findings import Finding, Severity, render_all
from generator.language.source.files_beside import TRANSLATION_FILE, folder_digests, parts_digests
from generator.record.revision_files import RECORD_FOLDER
from generator.units import Bench, NotData, data_of, value_of

if TYPE_CHECKING:
    from generator.tutorial import LoadedSource, Tutorial

STANDARD_INPUT = Path("-")      # as a path: one source, which lies beside nothing
Answer = TypeVar("Answer")
HINTED = f"{__name__}.hinted"     # in the context: that the last line of this run names foldgauge explain


def sources_in(paths: Iterable[str]) -> list[Path]:
    """The sources that files and folders stand for, each once, in order.

    A file is itself, a translation its tutorial; a folder its own index.md when it is a tutorial's,
    else all tutorials in it. The page that lists the tutorials (index.md of the folder that holds
    their folders) is not one; - is what stands in standard input. Raises click.UsageError for a folder
    in which no tutorial can be found.
    """
    found: dict[Path, None] = {}
    for each in map(Path, paths):
        if TRANSLATION_FILE.match(each.name):        # it is judged with the tutorial that it translates
            each = each.with_name("index.md")
        if each == STANDARD_INPUT or not is_folder(each):
            found[each] = None
            continue
        inner = sorted(source for source in each.glob("*/index.md") if is_readable_file(source))
        own = each / "index.md"
        if not inner and not is_readable_file(own):
            raise click.UsageError(
                f"{display_path(each)} holds no tutorial; a tutorial is a folder with a file index.md")
        found |= dict.fromkeys(inner or [own])
    return list(found)


def source_at(path: str) -> Path:
    """The one source that a file or folder names. Raises click.UsageError for a folder of several."""
    sources = sources_in([path])
    if len(sources) > 1:
        raise click.UsageError(
            f"{path} holds {len(sources)} tutorials; name one of them, such as {sources[0]}")
    return sources[0]


def is_folder(path: Path) -> bool:
    """False too for what cannot be looked at: reading it then says why."""
    try:
        return path.is_dir()
    except (OSError, ValueError):
        return False


def is_readable_file(path: Path) -> bool:
    """True for a file that is there and can be looked at."""
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def load_source(path: Path, folds: bool = True) -> LoadedSource:
    """Load one source as its own project would; ``folds`` as :func:`load` has it.

    Of one from standard input the project is that of the folder one stands in, and photos are not looked for.
    """
    from generator.language.source.document import decoded_source
    from generator.tutorial import LoadedSource, load_text
    if path == STANDARD_INPUT:
        shown = display_path(path)
        text, findings = decoded_source(sys.stdin.buffer.read(), shown)
        return (LoadedSource(None, findings, "") if text is None
                else load_text(text, shown, configured_benches(Path()), folds=folds))
    return load_source_on(path, configured_benches(path.parent), folds)


def load_source_on(path: Path, benches: Mapping[str, Bench], folds: bool = True) -> LoadedSource:
    """Load one source as if these were the benches of its project."""
    from generator.tutorial import load
    return load(path, display_path(path), benches, folds=folds)


def kept_answer(path: Path, what: str, work: Callable[[], Answer]) -> Answer:
    """The answer of ``work`` on a source, as it was kept where neither source nor program has changed since.

    What builds of a site keep is used, and nothing is begun: without a build, and of sources that are no
    tutorial of a site, nothing is kept.
    """
    place = Path(normpath(path.absolute())).parent
    site = site_folder(place.parent) if path.name == "index.md" else None
    store = site.root / STORE_FOLDER if site is not None and site.path == place.parent else None
    if store is None or not store.is_dir():
        return work()
    said = json.dumps([code_version(), what, display_path(path),
                       sorted(map(repr, configured_benches(place).items())),
                       # what was published tells nothing of what is there now
                       [each for each in folder_digests(place)
                        if not each[0].startswith(f"{RECORD_FOLDER}/")],
                       parts_digests(place.parent)])
    cache, key = FileCache(store), hashlib.sha256(said.encode("utf-8", "surrogatepass")).hexdigest()
    with suppress(KeyError, NotData):
        found: Answer = value_of(cache[key])
        return found
    answer = work()
    with suppress(NotData):
        cache[key] = data_of(answer)
    return answer


def display_path(path: Path) -> str:
    """A path as findings name it: as it was typed, without signs that no file name should have."""
    return click.format_filename(path)


def texts_by_file(path: Path, loaded: LoadedSource) -> dict[str, str]:
    """The text of a source and of those read with it, by their names in findings."""
    return {display_path(path): loaded.source, **loaded.texts}


def sound_tutorial(path: Path, loaded: LoadedSource) -> Tutorial:
    """The tutorial of a source; without one, say what is wrong and exit with 1."""
    if loaded.tutorial is None:
        print_findings(loaded.findings, texts_by_file(path, loaded))
        sys.exit(1)
    return loaded.tutorial


def print_findings(findings: Iterable[Finding], texts: Mapping[str, str], err: bool = True) -> None:
    """Print findings, if there are any. At a terminal the last line of the run says where more is told."""
    findings = list(findings)
    if not findings:
        return
    click.echo(render_all(findings, texts), err=err)
    context = click.get_current_context()
    for each in findings if context.meta.get(VERBOSE) else ():
        if each.trace:
            click.echo(each.trace, err=True)
    if sys.stderr.isatty() and not context.meta.get(HINTED):     # what a program reads stays as it is
        context.meta[HINTED] = True
        worst = next((each for each in findings if each.severity is Severity.ERROR), findings[0])
        context.call_on_close(lambda: click.echo(f"\nfoldgauge explain {worst.code} tells more", err=True))


def exit_with_findings(message: str, findings: Iterable[Finding], texts: Mapping[str, str]) -> NoReturn:
    """Say why nothing was done, then what was found, if anything was; exit with 1."""
    findings = list(findings)
    click.echo(message + "\n" * bool(findings), err=True)
    print_findings(findings, texts)
    sys.exit(1)
