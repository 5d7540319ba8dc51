"""The README's picture of the page: python tests/browser/picture.py [FILE]."""

from __future__ import annotations

import io
import shutil
import sys
import tempfile
import time
from contextlib import contextmanager
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from PIL import Image

from browser.conftest import PATTERNS, opened_browser, served
from browser.looking import Looking

KEPT = Path(__file__).parents[2] / "samples" / "page.png"


def main(file: Path) -> None:
    """The spring seat at bench width, its wall gap pointed at."""
    with tempfile.TemporaryDirectory() as folder:
        shutil.copy(PATTERNS / "spring-seat.toml", folder)
        with contextmanager(served)(Path(folder)) as address, opened() as driver:
            page = Looking(driver, address)
            page.resize(1280, 860)
            page.open("bracket/spring-seat.toml")
            page.find("#f-wall_gap").click()
            page.js("document.activeElement.blur(); scrollTo(0, 0)")
            time.sleep(1.0)
            image = Image.open(io.BytesIO(driver.get_screenshot_as_png()))
    image.convert("L").quantize(16).save(file, optimize=True)


opened = contextmanager(opened_browser)

if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else KEPT)
