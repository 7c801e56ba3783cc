"""`make look`: every page and print of the site as pictures, and all of them on contact sheets.

For whoever changes how it looks: ``look/`` holds a folder for each kind of picture (phone, laptop, dark,
print) with a PNG a page, and beside it a sheet of all of them, made smaller, with their addresses.
"""
from __future__ import annotations

import argparse
import io
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread

import pypdfium2
from PIL import Image, ImageDraw, ImageOps
from playwright.sync_api import Browser, sync_playwright

from tests.conftest import CHROMIUM_NAMES, QUIET
from tests.site.page_kinds import addresses

ROOT = Path(__file__).resolve().parents[2]
KINDS = {"phone": (360, 740, "light"), "laptop": (1280, 800, "light"), "dark": (1280, 800, "dark")}
SLOT, HEIGHT, GAP, ACROSS = 240, 900, 12, 12    # px: of a page on a sheet; how many stand side by side
PRINT_SCALE = 1.1                               # px of a print for a point


class _Silent(SimpleHTTPRequestHandler):
    def log_message(self, *_: object) -> None:
        pass


def pictures(browser: Browser, url: str, address: str) -> Iterator[tuple[str, Image.Image]]:
    """(kind, picture) of one page: whole, at each width and scheme; its print, page beside page."""
    for kind, (wide, high, scheme) in KINDS.items():
        page = browser.new_page(viewport={"width": wide, "height": high}, color_scheme=scheme, locale="en-US")
        page.goto(url + address)
        page.evaluate("document.fonts.ready")
        yield kind, Image.open(io.BytesIO(page.screenshot(full_page=True))).convert("RGB")
        if kind == "laptop" and "print/" in address:
            with pypdfium2.PdfDocument(page.pdf(format="Letter", prefer_css_page_size=True)) as document:
                yield "print", beside([sheet.render(scale=PRINT_SCALE).to_pil() for sheet in document])
        page.close()


def beside(sheets: list[Image.Image]) -> Image.Image:
    """Pages of a print in one row."""
    high = max(sheet.height for sheet in sheets)
    row = Image.new("RGB", (sum(sheet.width + GAP for sheet in sheets), high), "grey")
    at = 0
    for sheet in sheets:
        row.paste(sheet, (at, 0))
        at += sheet.width + GAP
    return row


def contact_sheet(shown: dict[str, Path], wide: bool) -> Image.Image:
    """All pictures of a kind with their addresses; a long page is cut off below, prints stand one a row."""
    across, slot = (1, SLOT * 8) if wide else (ACROSS, SLOT)
    cells = []
    for address, path in shown.items():
        with Image.open(path) as picture:
            small = ImageOps.contain(picture, (slot, picture.height * slot // picture.width))
        cell = Image.new("RGB", (slot, min(small.height, HEIGHT) + 2 * GAP), "white")
        ImageDraw.Draw(cell).text((2, 2), address or "/", fill="black")
        cell.paste(small, (0, 2 * GAP))
        cells.append(cell)
    rows = [cells[k:k + across] for k in range(0, len(cells), across)]
    sheet = Image.new("RGB", (across * (slot + GAP), sum(max(c.height for c in row) + GAP for row in rows)),
                      "grey")
    y = 0
    for row in rows:
        for x, cell in enumerate(row):
            sheet.paste(cell, (x * (slot + GAP), y))
        y += max(cell.height for cell in row) + GAP
    return sheet


def main() -> None:
    """Build the site and take its pictures, of the addresses that hold one of the words given."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("words", nargs="*", help="only addresses with one of these in them")
    parser.add_argument("--to", type=Path, default=ROOT / "look")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as player:
        subprocess.run([sys.executable, "-m", "mkdocs", "build", "-q", "-d", folder], cwd=ROOT, check=True)
        server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Silent, directory=folder))
        Thread(target=server.serve_forever, daemon=True).start()
        chromium = next(filter(None, map(shutil.which, CHROMIUM_NAMES)))
        browser = player.chromium.launch(executable_path=chromium, args=list(QUIET))
        taken: dict[str, dict[str, Path]] = {}
        for address in addresses(Path(folder)):
            if asked.words and not any(word in address for word in asked.words):
                continue
            for kind, picture in pictures(browser, f"http://127.0.0.1:{server.server_port}/", address):
                name = address.strip("/").replace("/", "-") or "index"
                path = asked.to / kind / f"{name}.png"
                path.parent.mkdir(parents=True, exist_ok=True)
                picture.save(path)
                taken.setdefault(kind, {})[address] = path
        browser.close()
        server.shutdown()
    for kind, shown in taken.items():
        contact_sheet(shown, kind == "print").save(asked.to / f"{kind}.png")
        print(asked.to / f"{kind}.png")


if __name__ == "__main__":
    main()
