"""What every test may use: a browser, and the rule that nothing is skipped where all tools are there."""
from __future__ import annotations

import os
import shutil
from collections.abc import Iterator

import pytest
from hypothesis import settings
from playwright.sync_api import Browser, sync_playwright
from xdist.scheduler import LoadFileScheduling

import generator  # noqa: F401  before numpy, so that its threads are set as everywhere
from tests.time_limits import ASKED, examples

NO_SKIPS = bool(os.environ.get("FOLDGAUGE_NO_SKIPS"))
CHROMIUM_NAMES = ("chromium", "chromium-browser", "chrome")
SITE = "tests/site/"
QUIET = ("--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update",
         "--disable-sync", "--no-first-run")

# `make test` tries the same examples each time, so that green stays green; `make bench` tries by chance
settings.register_profile("tests", max_examples=examples(settings.default.max_examples), deadline=None,
                          derandomize=not ASKED)
settings.load_profile("tests")


def _refuse_skip(report: pytest.TestReport | pytest.CollectReport) -> None:
    """With FOLDGAUGE_NO_SKIPS set, turn a skipped report into a failed one (expected failures stay)."""
    if NO_SKIPS and report.skipped and not hasattr(report, "wasxfail"):
        report.outcome = "failed"
        report.longrepr = f"skipped, and FOLDGAUGE_NO_SKIPS is set: {report.longrepr}"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item, call: pytest.CallInfo):
    report = yield
    _refuse_skip(report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector: pytest.Collector):
    report = yield
    _refuse_skip(report)
    return report


class ByFile(LoadFileScheduling):
    """Processes share the tests file by file; one has all of the built site, which is built once for them."""

    def _split_scope(self, nodeid: str) -> str:
        file: str = super()._split_scope(nodeid)
        return SITE if file.startswith(SITE) else file


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> ByFile:
    """Whatever ``--dist`` says; groups by a mark are of no effect with pytest 9.2 and pytest-xdist 3.8."""
    return ByFile(config, log)


@pytest.fixture(autouse=True)
def unforeseen_errors_are_raised(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the program would tell as a fault of its own fails the test that meets it."""
    def fail(error: Exception) -> str:
        raise error

    if request.node.get_closest_marker("unforeseen") is None:
        monkeypatch.setattr("generator.findings.stages._said", fail)


def chromium_path() -> str | None:
    """Where the machine's own Chromium lies."""
    return next(filter(None, map(shutil.which, CHROMIUM_NAMES)), None)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The machine's own Chromium without a window; its tests skip where there is none."""
    path = chromium_path()
    if path is None:
        pytest.skip("no Chromium on this machine")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(QUIET))
        yield browser
        browser.close()
