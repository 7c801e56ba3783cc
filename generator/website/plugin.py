"""The MkDocs plugin: when what is done. How it is done stands in the other files of this room."""
from __future__ import annotations

import os
from pathlib import Path

from jinja2 import Environment
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page
from mkdocs.utils.templates import TemplateContext

from generator.locale import locale_for
from generator.website.atomic_publish import AtomicPublish
from generator.website.build_cache import FileCache
from generator.website.data_pages import rule
from generator.website.feed import FEED
from generator.website.languages import MAIN
from generator.website.photos import photo_findings
from generator.website.report import report
from generator.website.settings import Settings
from generator.website.shelf import read_shelf, sources_below
from generator.website.site_builder import SiteBuilder

NO_DATE = "1970-01-01"      # the same sources give the same bytes, whatever day it is


class FoldgaugePlugin(BasePlugin[Settings]):
    """Turns ``tutorials/<slug>/index.md`` into pages; evaluates everything before anything is written."""

    def __init__(self) -> None:
        self.serving = False
        self.kept: AtomicPublish | None = None
        self.keeping = False
        self.whole = False
        self.desk = SiteBuilder()

    def on_startup(self, *, command: str, dirty: bool) -> None:
        """Know whether a person looks at a preview, or a site is built to be kept."""
        self.serving = command == "serve"
        self.keeping = not self.serving and not dirty

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        config.theme.static_templates.add("404.html")
        return config

    def on_pre_build(self, *, config: MkDocsConfig) -> None:
        """Read and evaluate; MkDocs empties the site's folder right after this, so errors must stop it here."""
        folder, root = Path(config.docs_dir), Path(config.config_file_path or ".").parent

        def shown(path: Path) -> str:
            return Path(os.path.relpath(path, root)).as_posix()

        shelf = read_shelf(folder, sources_below(folder, lambda uri: self._wanted(uri, config)), shown,
                           self.config.benches, FileCache(Path(config.site_dir).parent / ".foldgauge" / "cache"))
        photos = photo_findings(folder, shelf, shown, lambda uri: self._wanted(uri, config))
        report((*shelf.findings, *photos), shelf.sources)
        self.desk = SiteBuilder(shelf, self.serving, self.config.benches)
        self.whole = False
        if self.keeping:
            self.kept = AtomicPublish(Path(config.site_dir))
            self.kept.set_aside()

    def _wanted(self, uri: str, config: MkDocsConfig) -> bool:
        """False for what mkdocs.yml keeps out of the site."""
        left_out = [config.exclude_docs] + ([] if self.serving else [config.draft_docs])
        return not any(spec and spec.match_file(uri) for spec in left_out)

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        self.desk.add_pages(files, config)
        return files

    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> Environment:
        # MkDocs leaves escaping to the theme; ours escapes all but what is marked as HTML.
        env.autoescape = True
        env.globals |= {"say": locale_for(MAIN).section("website"), "lang": MAIN, "locale": locale_for(MAIN), "rule": rule(),
                        "serving": self.serving, **self.desk.doors_in(MAIN),
                        "feed_url": FEED if files.get_file_from_path(FEED) else ""}
        for file in files.documentation_pages():
            if file.page is not None:
                file.page.update_date = NO_DATE
        return env

    def on_page_markdown(self, markdown: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        return self.desk.markdown(page, markdown)

    def on_page_content(self, html: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        return self.desk.content(page, html, files)

    def on_page_context(self, context: TemplateContext, *, page: Page, config: MkDocsConfig,
                        nav: Navigation) -> TemplateContext:
        context.update(self.desk.context(page, nav))
        return context

    @event_priority(-100)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        self.whole = True

    def on_build_error(self, *, error: Exception) -> None:
        """Also called after on_post_build, when a strict build counts its warnings."""
        self.whole = False

    def on_shutdown(self) -> None:
        """The build is over, one way or the other: the new site stays, or the old one comes back."""
        if self.kept is not None:
            (self.kept.let_go if self.whole else self.kept.put_back)()
            self.kept = None

    def on_serve(self, server: LiveReloadServer, *, config: MkDocsConfig, builder) -> LiveReloadServer:
        """Watch the theme too; MkDocs itself watches the sources and mkdocs.yml."""
        if config.theme.custom_dir:
            server.watch(config.theme.custom_dir)
        return server
