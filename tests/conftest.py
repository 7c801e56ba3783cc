"""What every test may use: a browser, and the rule that nothing is skipped where all tools are there."""
from __future__ import annotations

import os
import shutil
from collections.abc import Iterator

import pytest
from hypothesis import settings
from playwright.sync_api import Browser, sync_playwright

import generator  # noqa: F401  before numpy, so that its threads are set as everywhere
from tests.time_limits import examples

NO_SKIPS = bool(os.environ.get("FOLDGAUGE_NO_SKIPS"))
CHROMIUM_NAMES = ("chromium", "chromium-browser", "chrome")
QUIET = ("--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update",
         "--disable-sync", "--no-first-run")

settings.register_profile("tests", max_examples=examples(settings.default.max_examples), deadline=None)
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


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Processes share the tests file by file; one has the browser, and builds the site once."""
    for item in items:
        group = "browser" if "browser" in item.fixturenames or item.path.parent.name == "site" else (
            f"{item.path.parent.name}-{item.path.stem}")
        item.add_marker(pytest.mark.xdist_group(group))


@pytest.fixture(autouse=True)
def unforeseen_errors_are_raised(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the program would tell as a fault of its own fails the test that meets it."""
    def fail(error: Exception) -> str:
        raise error

    if request.node.get_closest_marker("unforeseen") is None:
        monkeypatch.setattr("generator.findings.stages._said", fail)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The machine's own Chromium without a window; its tests skip where there is none."""
    path = next(filter(None, map(shutil.which, CHROMIUM_NAMES)), None)
    if path is None:
        pytest.skip("no Chromium on this machine")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(QUIET))
        yield browser
        browser.close()
