"""The command ``foldgauge``, and the line that its help has for each of its commands.

A command's file, and all that works behind it, is loaded when it is called: help and version answer at once.
"""
from __future__ import annotations

import gc
import io
import sys

import click

from generator.commands import VERBOSE

# by name, what the help of all says of it
COMMANDS = {
    "calls": "Print all calls of the language, or what is known of some.",
    "changed": "Tell what differs from what was published, edition by edition: lengths, marks, pictures, "
               "sentences.",
    "check": "Check tutorials: files, folders of them, or - for one source from standard input.",
    "explain": "Print what a finding means, with an example and what mends it; without CODE, all codes.",
    "fit": "Find boxes for a thing: which families hold it, in which lengths, and how many a sheet gives.",
    "fold": "Fold a tutorial's plans and say whether they close, edition by edition.",
    "kit": "Work out what an evening of boxes takes: sheets, cuts by setting of the fence, supplies, bags.",
    "measures": "Print every measure of a tutorial in both editions.",
    "new": "Write a first source into tutorials/SLUG/index.md, with comments.",
    "publish": "Put what is there now on record, with its day and the reason: of all tutorials, or of those "
               "named.",
    "regauge": "Choose the lengths of the other edition: all marks on their tools, all sums exact, as close "
               "as can be.",
    "shelf": "Print a table (Markdown) of a folder's tutorials.",
    "template": "Write the templates and bench cards (PDF) and the cutting files (SVG, DXF) of a tutorial.",
    "translated": "Note in translations that they follow the words of now, after somebody has looked through "
                  "them.",
    "uses": "Tell which tutorials use a part, a size of a tool, a tool or a sheet.",
    "why": "Print the chain of a NAME: number, expression, named lengths, lines of the source.",
}


def _loaded(name: str) -> click.Command:
    """The command of a name, whose file is loaded now."""
    match name:
        case "calls":
            from generator.commands.reference import calls as command
        case "check":
            from generator.commands.check import check as command
        case "explain":
            from generator.commands.reference import explain as command
        case "fold":
            from generator.commands.fold import fold as command
        case "measures":
            from generator.commands.reports import measures as command
        case "new":
            from generator.commands.new import new as command
        case "regauge":
            from generator.commands.regauge import regauge as command
        case "shelf":
            from generator.commands.reports import shelf as command
        case "template":
            from generator.commands.template import template as command
        case "why":
            from generator.commands.why import why as command
        case _:
            command = _of_changes(name)
    return command


def _of_changes(name: str) -> click.Command:
    """The same of a command for those who change what is published, or make many boxes."""
    if name == "changed":
        from generator.commands.changed import changed as command
    elif name == "translated":
        from generator.commands.translated import translated as command
    elif name == "publish":
        from generator.commands.publish import publish as command
    elif name == "kit":
        from generator.commands.kit import kit as command
    elif name == "fit":
        from generator.commands.fit import fit as command
    else:
        from generator.commands.uses import uses as command
    return command


class LateGroup(click.Group):
    """A group that never ends in a traceback, unless it is asked for.

    Its commands stand for themselves in its help, and are loaded when one is called.
    """

    def invoke(self, ctx: click.Context) -> object:
        """Run a command; an error that nobody foresaw is told in one line, and the exit status is 1."""
        words = " ".join(ctx.args)
        try:
            return super().invoke(ctx)
        except (click.ClickException, click.exceptions.Exit, click.Abort, BrokenPipeError):
            raise
        except Exception as error:
            from generator.findings import Span, stage_finding
            found = stage_finding(f"foldgauge {ctx.invoked_subcommand} {words}", Span(""), error)
            if ctx.meta.get(VERBOSE):
                click.echo(found.trace, err=True)
            click.echo(f"{found.message}\n  to mend it: {found.hint}", err=True)
            ctx.exit(1)

    def resolve_command(self, ctx: click.Context,
                        args: list[str]) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does it, with the command loaded."""
        name, command, rest = super().resolve_command(ctx, args)
        return name, command and _loaded(name or ""), rest


@click.group(cls=LateGroup, commands=[click.Command(name, help=text) for name, text in COMMANDS.items()],
             context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="foldgauge", message="%(prog)s %(version)s")
@click.option("-v", "--verbose", is_flag=True, help="Show where in the program an unforeseen error was met.")
@click.pass_context
def foldgauge(context: click.Context, verbose: bool) -> None:
    """Step-by-step tutorials on boxes made of paper: two gauges, one fold."""
    from generator.files import terminate_as_interrupt
    context.meta[VERBOSE] = verbose
    context.call_on_close(terminate_as_interrupt())


def main() -> None:
    """Entry point. Exit status 0 clean, 1 with errors in a source, 2 for a wrong use of the command."""
    # what a command makes lives to its end: looking for what is no longer used was 7 % of a check
    gc.set_threshold(100_000)
    # a pipe or file gets UTF-8 on every system, a terminal what it can show
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding=None if stream.isatty() else "utf-8", errors="replace")
    try:
        foldgauge.main(prog_name="foldgauge")
    except BrokenPipeError:         # the reader of our output has gone; nothing is wrong
        sys.stderr.close()
        sys.exit(0)
