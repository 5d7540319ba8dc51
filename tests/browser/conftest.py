"""The page in Debian's chromium, by its own driver: one server and one browser for all tests."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from browser.looking import Looking

SHOP = """units = "in"
[[rack]]
material = "A36"
thickness = "3/16"
sheet = "48 x 96"
count = 2
"""
PATTERNS = Path(__file__).parents[2] / "patterns"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    reason = _missing()
    for item in items:
        if reason and Path(__file__).parent in item.path.parents and not os.environ.get("CI"):
            item.add_marker(pytest.mark.skip(reason=reason))


def _missing() -> str:
    for name in ("chromium", "chromedriver"):
        if shutil.which(name) is None:
            return f"{name} is not installed: apt-get install chromium chromium-driver"
    return ""


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of brackets that the tests may change."""
    made = tmp_path_factory.mktemp("page")
    for name in ("spring-seat", "spring-seat-travel", "tank-strap", "deck-zee", "hose-guide"):
        shutil.copy(PATTERNS / f"{name}.toml", made)
    shutil.copy(PATTERNS / "winch-angle.toml", made)
    shutil.copy(PATTERNS.parent / "samples" / "winch-angle-left-readings.toml", made)
    shutil.copy(PATTERNS / "travel-trailing-arm.toml", made)
    (made / "shop.toml").write_text(SHOP, encoding="utf-8")
    return made


@pytest.fixture(scope="session")
def address(folder: Path) -> Iterator[str]:
    """Where the page of that folder is served, ending in a slash."""
    yield from served(folder)


def served(folder: Path) -> Iterator[str]:
    """The address of a folder's page while it is served."""
    command = [sys.executable, "-m", "platewright", "open", str(folder), "--no-browser"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server:
        try:
            assert server.stdout is not None
            found = re.search(r"http://\S+", server.stdout.readline())
            assert found, "the page is not served"
            yield found[0]
        finally:
            server.terminate()


@pytest.fixture(scope="session")
def browser() -> Iterator[object]:
    """The browser, without a window."""
    if reason := _missing():
        pytest.fail(reason)
    yield from opened_browser()


def opened_browser() -> Iterator[object]:
    """A browser while it is open; it keeps what it logs."""
    from selenium import webdriver

    options = webdriver.ChromeOptions()
    options.binary_location = shutil.which("chromium") or ""
    for word in ("--headless=new", "--no-sandbox", "--disable-dev-shm-usage"):
        options.add_argument(word)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    options.add_experimental_option("perfLoggingPrefs", {"enablePage": False})
    service = webdriver.ChromeService(executable_path=shutil.which("chromedriver"))
    driver = webdriver.Chrome(options=options, service=service)
    try:
        driver.set_script_timeout(30)
        yield driver
    finally:
        driver.quit()


@pytest.fixture
def page(browser: object, address: str) -> Iterator[Looking]:
    """The browser at bench width; afterwards nothing may have gone wrong in it, or gone out."""
    looking = Looking(browser, address)
    looking.resize(1280, 900)
    yield looking
    looking.require_quiet()
