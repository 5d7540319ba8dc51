"""Parts made wrong by another route, measured by a tape of its own, and what is told of them.

The DXF is edited with ezdxf, the template is printed at 97 %, a fold is shifted, the net outline is
cut without its kerf. `reference.taped` lays the tape; the command gets a readings file as a person
fills it in. What must be told is what was done.
"""

from __future__ import annotations

import io
import json
import math
import re
from pathlib import Path

import ezdxf
import numpy as np
import pypdfium2
import pytest
from click.testing import CliRunner

from platewright.cli.root import root
from reference.foldback import Flat, Folded, braked, read_dxf
from reference.taped import measured_print, on_the_flat, on_the_part, rounded

PATTERNS = Path(__file__).parents[2] / "patterns"

ANGLE = """
kind = "angle"
name = "angle"
units = "mm"
measured_to = "outside"
shelf = 90
upright = 110
width = 120
stock = { thickness = 5, material = "S235" }
bend = { way = "brake", radius = 8, k = 0.42 }
shelf_holes = { count = 2, spacing = 70, gauge = 50, size = "M10" }
upright_holes = { count = 2, spacing = 60, gauge = 70, size = "M12" }
"""
THICKNESS, RADIUS, K = 5.0, 8.0, 0.42


def run(*args: object) -> str:
    done = CliRunner().invoke(root, [str(arg) for arg in args])
    assert done.exit_code == 0, done.output
    return done.output


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "angle.toml").write_text(ANGLE)


def made(file: str, name: str, *more: str) -> tuple[bytes, Flat, list[dict]]:
    """The DXF of a part, the true blank, and what to measure."""
    run("make", file, "--no-shop", "--out", "made", *more)
    data = Path(f"made/{name}.dxf").read_bytes()
    dimensions = json.loads(run("check", file, "--no-shop", "--json"))["parts"][0]["dimensions"]
    return data, read_dxf(data)[0], dimensions


def told(file: str, name: str, readings: dict[str, float], unit: str) -> dict:
    """What the command tells of readings by their letters, written as a person writes them."""
    run("readings", file, "--no-shop")
    path = Path(f"{name}-readings.toml")
    text = path.read_text()
    for letters, value in readings.items():
        words = f"{value:.4f}{'' if letters.startswith('bevel') else ' ' + unit}"
        text = re.sub(rf'^("{letters}"\s*= )""', rf'\1"{words}"', text, flags=re.MULTILINE)
    path.write_text(text)
    found = json.loads(run("readings", file, path, "--no-shop", "--json"))
    read = {each["letter"] for each in found["readings"]}
    assert read == readings.keys(), "every reading has its row"
    return found


def first_by_letter(dimensions: list[dict], *, capital: bool) -> dict[str, dict]:
    """The dimension of each row with letters: capitals for the blank, small ones for the part.

    A capital by itself may be the measuring form's letter.
    """
    found: dict[str, dict] = {}
    for each in dimensions:
        for letters in filter(None, each["letter"].split(", ")):
            if letters[0].isupper() == capital and len(letters) > (1 if capital else 0):
                found.setdefault(letters, each)
    return found


def taped_flat(dimensions: list[dict], true: Flat, wrong: Flat, step: float) -> dict[str, float]:
    found = {}
    for letters, each in first_by_letter(dimensions, capital=True).items():
        value = on_the_flat(each, true, wrong)
        if value is not None:
            found[letters] = rounded(value, step)
    return found


def within(size: float, cause: dict, unit: str, more: float) -> bool:
    """Whether a size is told within two standard errors and a little more."""
    key = f"size_{unit}" if unit else "size"
    error = cause[key.replace("size", "give_or_take")]
    return abs(cause[key] - size) <= 2 * error + more


def test_the_tape_reads_a_true_part_true() -> None:
    """The tape itself is judged first: on the true blank it reads what is asked."""
    _, true, dimensions = made("angle.toml", "angle")
    rows = first_by_letter(dimensions, capital=True)
    read = taped_flat(dimensions, true, true, 1e-9)
    assert len(read) >= 12
    for letters, value in read.items():
        assert value == pytest.approx(rows[letters]["value_on_blank_mm"], abs=1e-5), letters
    found = told("angle.toml", "angle", {k: rounded(v, 1.0) for k, v in read.items()}, "mm")
    assert (found["outcome"], found["causes"]) == ("serves", [])


def test_a_hole_moved_in_the_dxf_is_the_one_that_is_told() -> None:
    """3/16 in to the right and 1/8 in up, moved with ezdxf."""
    file = str(PATTERNS / "spring-seat.toml")
    data, true, dimensions = made(file, "spring-seat")
    document = ezdxf.read(io.StringIO(data.decode()))
    port = max(
        document.modelspace().query('CIRCLE[layer=="NET-HOLES"]'), key=lambda c: c.dxf.radius
    )
    port.dxf.center += (3 / 16, 1 / 8, 0)
    edited = io.StringIO()
    document.write(edited)
    wrong = read_dxf(edited.getvalue().encode())[0]
    read = taped_flat(dimensions, true, wrong, 25.4 / 32)
    found = told(file, "spring-seat", {k: v / 25.4 for k, v in read.items()}, "in")
    (cause,) = found["causes"]
    assert cause["name"] == "port hole off"
    assert within(math.hypot(3 / 16, 1 / 8) * 25.4, cause, "mm", 0.4)
    assert found["outcome"] == "make again"


def test_a_template_printed_at_97_percent_is_told_as_such() -> None:
    _, true, dimensions = made("angle.toml", "angle", "--paper", "single", "--pattern", "plate")
    document = pypdfium2.PdfDocument(Path("made/angle-template.pdf").read_bytes())
    dpi = 200
    image = document[0].render(scale=0.97 * dpi / 72, grayscale=True).to_numpy()
    darkness = 1 - image.reshape(image.shape[:2]).astype(float) / 255
    wrong = measured_print(darkness, dpi, true, 0.97)
    dimensions = [each for each in dimensions if "end of bend" not in each["words"]]
    dimensions = [each for each in dimensions if "line, end to end" not in each["words"]]
    read = taped_flat(dimensions, true, wrong, 1.0)
    assert len(read) >= 8
    found = told("angle.toml", "angle", read, "mm")
    (cause,) = found["causes"]
    assert cause["name"] == "print scale"
    assert within(-0.03, cause, "", 0.002)
    assert found["outcome"] == "make again"


def test_a_fold_beside_its_line_is_told_with_its_bend() -> None:
    """The blank is right but for the line of its bend, 4 mm towards the shelf; folded there."""
    _, true, dimensions = made("angle.toml", "angle")
    shelf = true.holes[np.argmin(true.holes[:, 2])][:2]  # the smaller holes are the shelf's
    (line,) = true.bends
    towards = np.sign((shelf - line.mean(axis=0))[1])
    wrong = Flat(true.corners, (line + np.array([0, 4.0 * towards]),), true.holes, true.cutouts)
    bend = braked(math.pi / 2, True, RADIUS, K, THICKNESS)
    rows = first_by_letter(dimensions, capital=False)
    straight = Folded(true, THICKNESS, lambda _: bend, shelf)
    folded = Folded(wrong, THICKNESS, lambda _: bend, shelf)
    read = {}
    for letters, each in rows.items():
        value = on_the_part(each, true, straight)
        if value is not None:
            # the tape is judged before it is believed
            assert value == pytest.approx(each["value_on_part_mm"], abs=1e-5), letters
            wrongly = on_the_part(each, true, folded)
            assert wrongly is not None
            read[letters] = rounded(wrongly, 1.0)
    assert len(read) >= 7
    bevel = next(each for each in dimensions if each["words"].startswith("bevel"))
    read["bevel 1"] = on_the_part(bevel, true, folded) or 0.0
    found = told("angle.toml", "angle", read, "mm")
    (cause,) = found["causes"]
    assert cause["name"] == "bend 1 displaced"
    assert within(4.0, cause, "mm", 0.3) or within(-4.0, cause, "mm", 0.3)
    assert "shelf" in cause["words"]


def test_a_blank_cut_on_its_lines_is_told_as_a_kerf_not_allowed_for() -> None:
    """Half the kerf of 1.5 mm off all round, holes larger by as much."""
    _, true, dimensions = made("angle.toml", "angle")
    off = 0.75
    ways = [(b[:2] - a[:2]) / math.dist(a[:2], b[:2]) for a, b in true.sides]
    ins = [np.array([-way[1], way[0]]) for way in ways]  # the metal is on the left
    corners = true.corners.copy()
    for n in range(len(corners)):
        u, v = ins[n - 1], ins[n]
        # in from both sides at once; where one runs on into the other, from either
        corners[n, :2] += (u + v) * off / (1 + u @ v)
    bends = tuple(
        np.array([a + (b - a) / math.dist(a, b) * off, b + (a - b) / math.dist(a, b) * off])
        for a, b in true.bends
    )
    holes = true.holes + np.array([0, 0, 1.5])
    wrong = Flat(corners, bends, holes, true.cutouts)
    read = taped_flat(dimensions, true, wrong, 0.5)
    found = told("angle.toml", "angle", read, "mm")
    (cause,) = found["causes"]
    assert cause["name"] == "kerf"
    assert within(0.75, cause, "mm", 0.1)
    assert "not allowed for" in cause["words"]
    # the kerf of the file is right, and no other is to be written
    assert found["sets"] == []
    assert not any(each["key"] for each in cause["remedies"])
