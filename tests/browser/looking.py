"""What a person does and sees on the page."""

from __future__ import annotations

import base64
import json
import time
from collections.abc import Callable
from typing import Any
from urllib.parse import urlsplit

from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.remote.webelement import WebElement

PATIENCE = 40.0  # s


class Looking:
    """The browser on one page: finding, typing, waiting for what the server answers."""

    def __init__(self, driver: Any, address: str) -> None:
        self.driver = driver
        self.address = address
        self.expected: set[int] = set()

    def resize(self, width: int, height: int) -> None:
        self.driver.execute_cdp_cmd(
            "Emulation.setDeviceMetricsOverride",
            {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 600},
        )

    def open(self, path: str) -> None:
        self.driver.get(self.address + path)
        if path.startswith(("bracket", "setup")):
            self.wait(lambda: self.js("return document.body.dataset.revision"))

    def bracket(self, name: str) -> None:
        """The page of a bracket as its file has it."""
        self.open(f"bracket/{name}")
        if self.text("#standing") != "saved":
            self.js("document.querySelector('#discard').click()")
            self.wait(lambda: self.text("#standing") == "saved")

    def js(self, script: str, *given: Any) -> Any:
        return self.driver.execute_script(script, *given)

    def find(self, selector: str) -> WebElement:
        return self.driver.find_element(By.CSS_SELECTOR, selector)

    def text(self, selector: str) -> str:
        found: str = self.js(
            "return document.querySelector(arguments[0]).textContent.trim()", selector
        )
        return found

    def wait(self, done: Callable[[], Any]) -> Any:
        end = time.monotonic() + PATIENCE
        while not (found := done()):
            assert time.monotonic() < end, "waited in vain"
            time.sleep(0.03)
        return found

    def click(self, selector: str) -> None:
        self.js("arguments[0].scrollIntoView({block: 'center'})", found := self.find(selector))
        found.click()

    def press(self, key: str, held: str = "") -> None:
        """A key of the keyboard, to whatever has the focus."""
        keys = ActionChains(self.driver)
        if held:
            keys.key_down(held).send_keys(key).key_up(held).perform()
        else:
            keys.send_keys(key).perform()

    def field(self, key: str) -> WebElement:
        """The field of a key of the file, its sections opened."""
        selector = f'[data-key="{key}"] :is(input, select, textarea)'
        self.wait(lambda: self.js("return !!document.querySelector(arguments[0])", selector))
        self.js(
            "let at = document.querySelector(arguments[0]);"
            "for (let d = at; d = d.parentNode.closest('details');) d.open = true;"
            "at.scrollIntoView({block: 'center'})",
            selector,
        )
        return self.find(selector)

    def type(self, key: str, words: str) -> None:
        """Write something into a field and wait for what comes of it."""
        before = self.serial()
        self.put(self.field(key), words)
        self.answered(before)

    def put(self, field: WebElement, words: str) -> None:
        if field.tag_name == "select":
            self.js(
                "arguments[0].value = arguments[1];"
                "arguments[0].dispatchEvent(new Event('input', {bubbles: true}))",
                field,
                words,
            )
            return
        field.send_keys(Keys.CONTROL, "a")
        field.send_keys(words)

    def serial(self) -> int:
        return int(self.js("return document.body.dataset.serial || 0") or 0)

    def answered(self, before: int) -> None:
        """Wait until what was typed is answered and nothing is under way."""
        self.wait(lambda: self.serial() > before and not self.js("return document.body.ariaBusy"))

    def message(self, key: str) -> str:
        return self.text(f'[data-key="{key}"] .message')

    def outline(self) -> str:
        """The path of the blank's outline, "" for none yet."""
        found: str = self.js("return document.querySelector('#flat .outline')?.getAttribute('d')")
        return found or ""

    def fetched(self, address: str) -> bytes:
        """The bytes of a file of the page, as the browser gets them."""
        script = """
        const done = arguments[arguments.length - 1];
        fetch(arguments[0]).then((r) => r.arrayBuffer()).then((got) => {
          let text = "";
          for (const byte of new Uint8Array(got)) text += String.fromCharCode(byte);
          done(btoa(text));
        });"""
        return base64.b64decode(self.driver.execute_async_script(script, address))

    def require_quiet(self) -> None:
        """No error in the browser's console, and no request to anywhere but the page's server."""
        wrong = [
            each["message"]
            for each in self.driver.get_log("browser")
            if each["level"] == "SEVERE"
            and not any(f"status of {code} " in each["message"] for code in self.expected)
        ]
        assert wrong == []
        server = urlsplit(self.address).netloc
        asked = [
            message["params"]["request"]["url"]
            for entry in self.driver.get_log("performance")
            if (message := json.loads(entry["message"])["message"])["method"]
            == "Network.requestWillBeSent"
        ]
        outside = [
            url
            for url in asked
            if urlsplit(url).scheme not in ("data", "blob") and urlsplit(url).netloc != server
        ]
        assert outside == []
