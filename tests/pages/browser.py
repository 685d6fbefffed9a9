"""A real browser for the tests of the pages: its screens, a profile that nobody used before, a page that is watched."""

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Dialog, Page, Request

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
PHONE, DESK = {"width": 360, "height": 740}, {"width": 1280, "height": 900}
in_chromium = [
    pytest.mark.browser,
    pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine"),
    # Playwright leaves its event loop's sockets to the garbage collector.
    pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning"),
]
"""The marks of tests that need the browser."""


def needs_chromium(test: Callable[..., None]) -> Callable[..., None]:
    """Mark one test as one that needs the browser."""
    for mark in in_chromium:
        test = mark(test)
    return test


@contextmanager
def browsing(
    browser: "Browser", size: dict[str, int], scheme: str = "light", **more: Any
) -> "Iterator[BrowserContext]":
    context = browser.new_context(viewport=size, color_scheme=scheme, **more)  # type: ignore[arg-type]
    try:
        yield context
    finally:
        context.close()


def watched(context: "BrowserContext", site: Path) -> "tuple[Page, list[str]]":
    """Give a page, and the list in which whatever it should not do turns up."""
    page = context.new_page()
    bad: list[str] = []
    home_of_it = site.as_uri()

    def heard(said: "ConsoleMessage") -> None:
        if said.type in ("error", "warning"):
            bad.append(said.text)

    def asked(request: "Request") -> None:
        if not request.url.startswith((home_of_it, "data:", "blob:")):
            bad.append(request.url)

    def stopped(dialog: "Dialog") -> None:
        bad.append(f"dialog {dialog.message}")
        dialog.dismiss()

    page.on("console", heard)
    page.on("pageerror", lambda error: bad.append(str(error)))
    page.on("dialog", stopped)
    page.on("request", asked)
    return page, bad
