"""The command ``foldgauge``: check, regauge, measures, why, fold, calls, explain, new, template, shelf."""
from __future__ import annotations

import io
import sys

import click

from generator.commands.check import check
from generator.commands.fold import fold
from generator.commands.new import new
from generator.commands.reference import calls, explain
from generator.commands.regauge import regauge
from generator.commands.reports import measures, shelf, why
from generator.commands.sources import VERBOSE
from generator.commands.template import template
from generator.files import terminate_as_interrupt
from generator.findings import Span, stage_finding


class _GuardedGroup(click.Group):
    """A group whose commands never end in a traceback, unless it is asked for."""

    def invoke(self, ctx: click.Context) -> object:
        """Run a command; an error that nobody foresaw is told in one line, and the exit status is 1."""
        words = " ".join(ctx.args)
        try:
            return super().invoke(ctx)
        except (click.ClickException, click.exceptions.Exit, click.Abort, BrokenPipeError):
            raise
        except Exception as error:
            found = stage_finding(f"foldgauge {ctx.invoked_subcommand} {words}", Span(""), error)
            if ctx.meta.get(VERBOSE):
                click.echo(found.trace, err=True)
            click.echo(f"{found.message}\n  to mend it: {found.hint}", err=True)
            ctx.exit(1)


@click.group(cls=_GuardedGroup,
             context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="foldgauge", message="%(prog)s %(version)s")
@click.option("-v", "--verbose", is_flag=True, help="Show where in the program an unforeseen error was met.")
@click.pass_context
def foldgauge(context: click.Context, verbose: bool) -> None:
    """Step-by-step tutorials on boxes made of paper: two gauges, one fold."""
    context.meta[VERBOSE] = verbose


for command in (check, regauge, measures, why, fold, calls, explain, new, template, shelf):
    foldgauge.add_command(command)


def main() -> None:
    """Entry point. Exit status 0 clean, 1 with errors in a source, 2 for a wrong use of the command."""
    # a pipe or file gets UTF-8 on every system, a terminal what it can show
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding=None if stream.isatty() else "utf-8", errors="replace")
    terminate_as_interrupt()
    try:
        foldgauge.main(prog_name="foldgauge")
    except BrokenPipeError:         # the reader of our output has gone; nothing is wrong
        sys.stderr.close()
        sys.exit(0)
