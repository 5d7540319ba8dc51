"""`platewright open`: it serves this machine alone, and says what is missing in one line."""

import re
import signal
import subprocess
import sys
from pathlib import Path
from urllib.error import HTTPError
from urllib.request import ProxyHandler, Request, build_opener

import pytest
from click.testing import CliRunner

from platewright.cli import open as open_command
from platewright.cli.root import root

PATTERNS = Path(__file__).parents[2] / "patterns"


def test_without_its_libraries_it_names_the_one_command_to_install_them(monkeypatch, tmp_path):
    monkeypatch.setattr(open_command, "find_spec", lambda _: None)
    done = CliRunner().invoke(root, ["open", str(tmp_path)])
    assert done.exit_code == 2
    assert "pip install 'platewright[page]'" in done.stderr


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["no-such.toml"], "no such file"),
        (["/dev/null"], "device"),
        (["--write"], "--write goes with --lan"),
        (["--port", "70000"], "70000"),
    ],
)
def test_what_cannot_be_opened_is_refused_in_words(args, words):
    done = CliRunner().invoke(root, ["open", *args])
    assert done.exit_code == 2
    assert words in done.stderr


def test_a_file_is_served_on_this_machine_until_it_is_broken_off(tmp_path):
    seat = tmp_path / "seat one.toml"
    seat.write_bytes((PATTERNS / "spring-seat.toml").read_bytes())
    process = subprocess.Popen(
        [sys.executable, "-m", "platewright", "open", str(seat), "--no-browser"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    assert process.stdout is not None
    try:
        line = process.stdout.readline()
        found = re.fullmatch(
            r"the page is at (http://127\.0\.0\.1:(\d+)/([\w-]{20,}))/bracket/seat%20one\.toml\n",
            line,
        )
        assert found, line
        opener = build_opener(ProxyHandler({}))
        with opener.open(f"{found[1]}/bracket/seat%20one.toml") as page:
            assert "text/html" in page.headers["Content-Type"]
            assert "Python" not in str(page.headers)
            text = page.read().decode()
        assert str(tmp_path) not in text
        with opener.open(f"{found[1]}/api/draft/seat%20one.toml") as state:
            assert b'"good":true' in state.read().replace(b" ", b"")
        with pytest.raises(HTTPError) as caught:
            opener.open(Request(f"{found[1]}/api/folder", headers={"Host": "evil.example"}))
        assert caught.value.code == 421
        caught.value.close()
        assert listening(int(found[2])) <= {"127.0.0.1"}
    finally:
        process.send_signal(signal.SIGINT)
        try:
            _, err = process.communicate(timeout=60)
        finally:
            process.kill()
    assert process.returncode == 0
    assert "Traceback" not in err
    assert err == ""


def listening(port: int) -> set[str]:
    """Addresses that are listened on at a port, as Linux tells them; none told elsewhere."""
    table = Path("/proc/net/tcp")
    if not table.exists():
        return set()
    rows = [line.split() for line in table.read_text().splitlines()[1:]]
    local = [row[1].split(":") for row in rows if row[3] == "0A"]
    return {
        ".".join(str(byte) for byte in bytes.fromhex(address)[::-1])
        for address, number in local
        if int(number, 16) == port
    }
