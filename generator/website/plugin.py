"""The MkDocs plugin: what mkdocs.yml may say to it, and when what is done.

How it is done stands in the other files of this room; findings are reported in the manner of the host.
"""
from __future__ import annotations

import logging
import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import cast

import click
from jinja2 import Environment
from mkdocs.config.base import BaseConfigOption, Config, ValidationError
from mkdocs.config.config_options import Choice, Optional, Type
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort, BuildError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page
from mkdocs.utils.templates import TemplateContext

from generator.files import (
    STORE_FOLDER,
    AtomicPublish,
    FileCache,
    NotWritten,
    error_reason,
    terminate_as_interrupt,
)
from generator.findings import Finding, Severity, has_errors, render_all
from generator.findings.codes import STALE_CODES
from generator.language.source.files_beside import link_findings
from generator.language.source.former_names import alias_findings
from generator.language.source.portable_names import name_findings
from generator.language.source.text_limits import hidden_character
from generator.locale import locale_for
from generator.units import SYSTEMS, Bench, QuantityError, bench_from, default_bench
from generator.website.feed import FEED_FILE
from generator.website.finished import SourceRequest
from generator.website.light_text import lighten_theme_files
from generator.website.navigation import MAIN_LANGUAGE, language_of
from generator.website.photos import site_photo_findings
from generator.website.preview import Preview
from generator.website.preview_findings import PreviewFindings
from generator.website.published_files import is_published, published_files
from generator.website.recorded_state import RecordedState
from generator.website.ruler import ruler_svg
from generator.website.site_builder import SiteBuilder
from generator.website.site_settings import changes_texts, settings_text
from generator.website.sources import (
    read_sources,
    site_results,
    source_addresses,
    usable_cores,
)


class BenchesOption(BaseConfigOption[Mapping[str, Bench]]):
    """``benches: {in: {…}, mm: {…}}``: the marks that the reader's tools carry, each length with its unit.

    A system that is not named keeps the default bench. What is wrong becomes
    one message of MkDocs, which stops before anything is read.
    """

    def run_validation(self, value: object) -> Mapping[str, Bench]:
        """The bench of each system. Raises ValidationError for what cannot be used."""
        value = {} if value is None else value
        if not isinstance(value, Mapping):
            raise ValidationError("give the tools of each system, such as {in: {board: 1/8 in}}")
        if unknown := [key for key in value if key not in SYSTEMS]:
            raise ValidationError(f"{unknown[0]!r} is no system of measures: there are 'in' and 'mm'")
        return {system: _bench_option(value.get(system), system) for system in SYSTEMS}


def _bench_option(tools: object, system: str) -> Bench:
    if not tools:
        return default_bench(system)
    if not isinstance(tools, Mapping):
        raise ValidationError(f"{system}: name the tools and their marks, such as {{board: 1/8 in}}")
    try:
        return bench_from(tools, system)
    except QuantityError as wrong:
        raise ValidationError(f"{system}: {wrong}" + (f" ({wrong.hint})" if wrong.hint else "")) from None


class Settings(Config):  # type: ignore[no-untyped-call]  # MkDocs' own __init_subclass__ has no types
    """The options of the plugin, checked when mkdocs.yml is read."""

    benches = BenchesOption()
    units = Optional(Choice(("in", "mm", "both")))      # shown at first; else languages decide
    unpublished = Choice(("tell", "error"), default="tell")     # of a plan that is not on record
    stale = Choice(("tell", "error"), default="tell")       # of photos and translations that are older
    keep = Type(int, default=0)     # so many older templates of each edition stay where they can be had
    jobs = Optional(Type(int))      # how many processes may work; as many as there are cores unless said


# MkDocs counts warnings of loggers below this name and fails a strict build for them;
# so what an author may leave as it is goes out one level lower.
log = logging.getLogger("mkdocs.plugins.foldgauge")


NOT_PUBLISHED = "Nothing was published; what was there has stayed."
NOT_WRITTEN = "Nothing was written: the sources have to be mended first."


def report_findings(findings: Iterable[Finding], sources: Mapping[str, str], end: str = NOT_WRITTEN) -> None:
    """Print everything that was found in one run; raise Abort, which says ``end``, when any is an error."""
    findings = tuple(findings)
    errors = [f for f in findings if f.severity is Severity.ERROR]
    warnings = [f for f in findings if f.severity is not Severity.ERROR]
    for level, group in ((logging.INFO, warnings), (logging.ERROR, errors)):
        if group:
            log.log(level, "%s", render_all(group, sources))
    for each in findings:
        if each.trace:
            log.debug("%s", each.trace)
    if has_errors(findings):
        raise Abort(end)


def _judged(findings: Iterable[Finding], strict: bool, refuses_stale: bool) -> Iterator[Finding]:
    """The findings; a typed measure is an error in a strict build, what is stale where that is refused."""
    for each in findings:
        refused = strict and each.code == "measure-typed" or refuses_stale and each.code in STALE_CODES
        yield replace(each, severity=Severity.ERROR) if refused else each


FIXED_DATE = "1970-01-01"      # the same sources give the same bytes, whatever day it is


class FoldgaugePlugin(BasePlugin[Settings]):  # type: ignore[no-untyped-call]  # as for Settings
    """Turns ``tutorials/<slug>/index.md`` into pages; evaluates everything before anything is written."""

    def __init__(self) -> None:
        self.serving = self.reloads = self.publishing = self.complete = self.dirty = False
        self.publish: AtomicPublish | None = None
        self.host: MkDocsConfig | None = None
        self.site_dir = ""          # as mkdocs.yml or the command line has it
        self.undo_termination: Callable[[], None] = lambda: None
        self.undo_guard: Callable[[], None] = lambda: None
        self.builder = SiteBuilder()
        self.store, self.preview, self.shown = FileCache(Path()), Preview(), PreviewFindings()

    def on_startup(self, *, command: str, dirty: bool = False, **_: object) -> None:
        """Know whether a person looks at a preview, or a site is built to be kept."""
        self.serving, self.dirty = command == "serve", dirty
        context = click.get_current_context(silent=True)
        # `mkdocs serve --clean` calls itself a build, and shows one temporary folder as it is
        self.publishing = not self.serving and (context is None or context.info_name != "serve")
        self.reloads = self.serving and context is not None and bool(context.params.get("livereload"))
        self.undo_termination = terminate_as_interrupt()
        if self.reloads:
            self.undo_guard = self.shown.guard_first_build()

    @event_priority(100)
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Put in order what a killed build left, before anything is judged; write all beside the site.

        So does a preview that has pages to show meanwhile; one that writes single pages keeps the others.
        """
        config.theme.static_templates.add("404.html")
        for key in ("site_name", "site_description", "site_author", "copyright"):
            if hidden := hidden_character(config[key] or ""):
                raise Abort(f"mkdocs.yml: {key} holds U+{ord(hidden):04X}, which nobody sees: delete it")
        self.complete, self.host, self.builder.doing = False, config, ("reading the sources", None)
        if self.publish is None:
            self.site_dir = config.site_dir
        follows = self.reloads and self.shown.served and not self.dirty
        if (self.publishing or follows) and self.publish is None:
            publish = AtomicPublish(Path(config.site_dir), temporary=follows)
            try:
                config.site_dir = str(publish.begin())
            except NotWritten as trouble:
                raise Abort(str(trouble)) from None
            self.publish, self.config_of_site = publish, config
        return config

    def on_pre_build(self, *, config: MkDocsConfig) -> None:
        """Read and evaluate: errors stop the build before a page is written."""
        self.preview.begin()
        logging.getLogger("mkdocs.structure").removeHandler(self.builder.messages)
        folder, root = Path(config.docs_dir), Path(config.config_file_path or ".").parent

        def shown(path: Path) -> str:
            return Path(os.path.relpath(path, root)).as_posix()

        def wanted(uri: str) -> bool:
            return self._wanted(uri, config)

        # before anything is read through one
        linked = self._report(link_findings(folder, shown, wanted), {})
        addresses = () if linked else tuple(source_addresses(folder, wanted))
        # MkDocs' preview stands in a folder of its own that goes with it
        place = root if self.serving else Path(self.site_dir).parent
        self.store = FileCache(place / STORE_FOLDER)
        codes = tuple(sorted({language_of(path.name) for path in folder.rglob("*.md")}))
        requests = [SourceRequest(address, str(folder / address), shown(folder / address),
                                  self.config.benches, codes,
                                  config.use_directory_urls,
                                  str(self.store.folder), config.site_url or "")
                    for address in addresses]
        settings = settings_text(config)
        collection = read_sources(requests, settings, self.store, self.config.jobs or usable_cores(),
                                  self.builder.collection if self.serving else None)
        allowed = published_files(folder, {*addresses, *collection.entries})
        photos = site_photo_findings(folder, collection.entries, shown,
                                     lambda uri: wanted(uri) and is_published(uri, allowed))
        records = RecordedState(collection, folder, shown, self.config.keep)
        if not self.serving:
            for line in records.differences():
                log.info("%s", line)
        unpublished = records.refusals() if self.config.unpublished == "error" and not self.serving else ()
        found = tuple(_judged((*collection.findings, *photos, *name_findings(folder, shown, wanted),
                               *alias_findings(folder, shown),
                               *records.findings, *unpublished), config.strict,
                              self.config.stale == "error"))
        if errors := self._report(found, {**collection.texts, **records.texts}):
            left_out = collection.blamed({each.file.removeprefix(f"{shown(folder)}/") for each in errors})
            collection, allowed = collection.without(left_out), {**allowed,
                                                                 **dict.fromkeys(left_out, frozenset())}
        if linked:
            allowed = {path.name: frozenset() for path in folder.iterdir()}
        self.builder = SiteBuilder(collection, self.config.benches, allowed,
                                   site_results(settings, self.config.benches, self.store),
                                   keeps=not changes_texts(config, self), serving=self.serving,
                                   records=records, former=self._former(config))
        logging.getLogger("mkdocs.structure").addHandler(self.builder.messages)

    def _former(self, config: MkDocsConfig) -> Path | None:
        """The site whose files the new one may share: none where others may change those of the new one."""
        alone = [*config.plugins] == ["foldgauge"] and not config.hooks
        return self.publish.site if self.publish is not None and alone else None

    def _report(self, findings: Iterable[Finding], texts: Mapping[str, str]) -> list[Finding]:
        """Print findings and stop the build for errors.

        Where a first preview would have nothing to show, go on with the rest: gives the errors.
        """
        findings = tuple(findings)
        errors = [each for each in findings if each.severity is Severity.ERROR]
        self.shown.trouble = self.shown.trouble or (render_all(errors, texts) if errors else "")
        try:
            report_findings(findings, texts)
        except Abort:
            if self.shown.served or not self.reloads:
                raise
        return errors

    def _wanted(self, uri: str, config: MkDocsConfig) -> bool:
        """False for what mkdocs.yml keeps out of the site."""
        left_out = [config.exclude_docs] + ([] if self.serving else [config.draft_docs])
        return not any(spec and spec.match_file(uri) for spec in left_out)

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """The pages and files that are made, beside those that are read."""
        self.builder.add_pages(files, config)
        lighten_theme_files(files, config.theme.custom_dir)
        return files

    def on_nav(self, nav: Navigation, *, config: MkDocsConfig, **_: object) -> Navigation:
        """Pages have their places: those that are known already need not be read."""
        self.builder.spare_reading(config)
        return nav

    def on_env(self, env: Environment, *, files: Files, **_: object) -> Environment:
        """What the templates of all pages know; every page has one day, so that builds agree."""
        self.builder.doing = "making the site", None
        # MkDocs leaves escaping to the theme; ours escapes all but what is marked as HTML.
        env.autoescape = True
        env.globals |= {"say": locale_for(MAIN_LANGUAGE).section("website"), "lang": MAIN_LANGUAGE,
                        "locale": locale_for(MAIN_LANGUAGE), "rule": ruler_svg(),
                        "serving": self.serving, "first_units": self.config.units,
                        **self.builder.site_context(MAIN_LANGUAGE),
                        "feed_url": FEED_FILE if files.get_file_from_path(FEED_FILE) else ""}
        for file in files.documentation_pages():
            if file.page is not None:
                file.page.update_date = FIXED_DATE
        self.builder.bodies.env = self.shown.env = env
        return env

    def on_page_markdown(self, markdown: str, *, page: Page, **_: object) -> str:
        """A tutorial's own Markdown; that of other pages as it is."""
        return self.builder.markdown(page, markdown)

    def on_page_content(self, html: str, *, page: Page, files: Files, **_: object) -> str:
        """Values and framed photos put into what Markdown has made."""
        return self.builder.content(page, html, files)

    def on_page_context(self, context: TemplateContext, *, page: Page, nav: Navigation,
                        **_: object) -> TemplateContext:
        """What the template of one page is handed beyond what MkDocs hands it."""
        return cast(TemplateContext, {**context, **self.builder.context(context, page, nav)})

    @event_priority(-100)
    def on_post_build(self, **_: object) -> None:
        """All pages are written."""
        self.builder.doing = "keeping what was made", None
        self.builder.keep()
        self.store.evict()
        self.complete = True
        self.preview.end(self.builder.later, self._end_publish if self.serving else None)

    def on_build_error(self, *, error: Exception, **_: object) -> None:
        """Also called after on_post_build, when a strict build counts its warnings."""
        self.complete = False
        self.preview.end(place=self._end_publish if self.serving else None)
        if self.publish is not None and isinstance(error, OSError):
            raise Abort(f"{error.filename or 'The site'}: {error_reason(error)}. {NOT_PUBLISHED}") from None
        if not isinstance(error, (BuildError, click.ClickException)):
            found, texts = (self.builder.failure(error, self.host),), self.builder.collection.texts
            self.shown.trouble = self.shown.trouble or render_all(found, texts)
            report_findings(found, texts, NOT_PUBLISHED)

    def on_shutdown(self) -> None:
        """The build is over, one way or the other: the new site takes its place, or is thrown away."""
        logging.getLogger("mkdocs.structure").removeHandler(self.builder.messages)
        try:
            self._end_publish()
        finally:
            self.undo_guard()
            self.undo_termination()

    def _end_publish(self) -> None:
        publish, self.publish = self.publish, None
        if publish is None:
            return
        self.config_of_site.site_dir = self.site_dir        # for whoever goes on, such as gh-deploy
        try:
            (publish.finish if self.complete else publish.discard)()
        except NotWritten as trouble:
            raise Abort(str(trouble)) from None
        if self.complete and self.publishing:
            log.info("The new site is in its place: %s", self.site_dir)

    def on_serve(self, server: LiveReloadServer, *, config: MkDocsConfig, **_: object) -> LiveReloadServer:
        """Watch the theme too; MkDocs itself watches the sources and mkdocs.yml."""
        if config.theme.custom_dir:
            server.watch(config.theme.custom_dir)
        app = self.preview.answering(server.get_app(), Path(server.root), server.mount_path)
        server.set_app(app)
        self.shown.attach(server, config)
        return server
