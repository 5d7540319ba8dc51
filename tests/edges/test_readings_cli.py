"""`readings` from a bracket file to a file to fill in, and from what was filled in to an answer."""

from __future__ import annotations

import json
import re

import pypdfium2
import pytest
from click.testing import CliRunner

from platewright.cli.root import root

ANGLE = """
kind = "angle"
name = "shelf-angle"
units = "mm"
measured_to = "inside"
shelf = 90
upright = 110
width = 120
stock = { thickness = 6, material = "S235" }
bend = { way = "score", groove = 3, ligament = 1.5 }
upright_holes = { count = 2, spacing = 70, gauge = 70, size = "M12" }
"""


def run(*args, command="readings"):
    return CliRunner().invoke(root, [command, *(str(arg) for arg in args)])


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "angle.toml").write_text(ANGLE)


def written(tmp_path, *args):
    done = run("angle.toml", *args)
    assert done.exit_code == 0, done.output
    return (tmp_path / "shelf-angle-readings.toml").read_text()


def fill(text, state=None, **by):
    """Every blank of a table with its value, and more by name ("A_to_B")."""
    now, lines = "", []
    for line in text.splitlines():
        now = (re.match(r"\[(\w+)\]", line) or ["", now])[1]
        found = re.match(r'("(.*?)"\s*= )""(\s*#\s*(?:FIT)?\s+)([\d.]+)', line)
        if found and (state is None or now == state):
            value = float(found[4]) + by.get(found[2].replace(" ", "_"), 0)
            line = line.replace('""', f'"{value:g}"', 1)
        lines.append(line)
    return "\n".join(lines) + "\n"


def answer(tmp_path, text, *args):
    (tmp_path / "read.toml").write_text(text)
    done = run("angle.toml", "read.toml", *args)
    assert done.exit_code == 0, done.output
    return done.output


def test_its_letters_words_and_values_are_those_of_the_check_sheet(tmp_path):
    text = written(tmp_path)
    run("angle.toml", "--out", "made", command="make")
    pages = pypdfium2.PdfDocument(tmp_path / "made" / "shelf-angle-check.pdf")
    sheet = " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in pages)
    rows = re.findall(r'^"(.*?)"\s*= ""\s*# (?:FIT)?\s+([\d.]+°?), ', text, re.MULTILINE)
    assert len(rows) > 20
    for name, value in rows:
        assert f"{name} " in sheet
        assert f" {value} " in sheet


def test_nothing_is_added_to_a_shop_file_before_there_are_readings(tmp_path):
    refused = run("angle.toml", "--write")
    assert refused.exit_code == 2
    assert "--write goes with READINGS" in refused.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["angle.toml"]


def test_a_true_part_serves(tmp_path):
    told = answer(tmp_path, fill(written(tmp_path)))
    assert told.startswith("shelf-angle, plate: IT SERVES AS IT IS")
    assert "tape read to 1.0 mm (usual, not measured)" in told
    found = json.loads(answer(tmp_path, fill(written(tmp_path)), "--json"))
    assert found["outcome"] == "serves"
    assert {each["judged"] for each in found["readings"]} == {"good"}
    bevel = next(each for each in found["readings"] if each["letter"] == "bevel 1")
    assert (bevel["should_deg"], bevel["read_deg"]) == (90.0, 90.0)
    assert found["causes"] == []


def test_what_is_off_is_told_with_its_size(tmp_path):
    filled = fill(written(tmp_path), A_to_B=2, bevel_1=-3)
    found = json.loads(answer(tmp_path, filled, "--json"))
    off = {each["letter"]: each for each in found["readings"] if each["judged"] == "out"}
    assert off["A to B"]["off_mm"] == pytest.approx(2)
    assert off["A to B"]["may_be_above_mm"] == pytest.approx(0.8)
    # closed by too much: the bevel is smaller
    assert off["bevel 1"]["off_deg"] == pytest.approx(-3)
    assert found["outcome"] != "serves"
    told = answer(tmp_path, filled)
    assert re.search(r"A to B \*\s+72.0 mm\s+for 70.0 mm\s+\+ 2.0 mm\s+may be ± 0.8 mm", told)
    assert re.search(r"bevel 1 \*\s+87°\s+for 90°\s+- 3°", told)


def test_the_sheet_has_the_verdict_first(tmp_path):
    told = answer(tmp_path, fill(written(tmp_path), A_to_B=2, bevel_1=-3), "--out", "made")
    assert "shelf-angle-readings.pdf" in told
    pages = pypdfium2.PdfDocument(tmp_path / "made" / "shelf-angle-readings.pdf")
    text = pages[0].get_textpage().get_text_range()
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    assert lines[0] in ("IT CAN BE TRIMMED", "MEASURE AGAIN", "MAKE IT AGAIN")
    assert re.search(r"\d times full\s+size", text)


def test_a_filled_file_is_never_written_over_unasked(tmp_path):
    text = written(tmp_path)
    assert written(tmp_path) == text  # an empty one is just made again
    path = tmp_path / "shelf-angle-readings.toml"
    path.write_text(fill(text, "folded"))
    refused = run("angle.toml")
    assert refused.exit_code == 2
    assert re.search(r"holds \d+ readings \(bevel 1, a, b, .*\)", refused.output)
    assert path.read_text() == fill(text, "folded")
    path.write_text(text + "[folded\n")
    assert "may hold readings" in run("angle.toml").output
    assert written(tmp_path, "--overwrite") == text


def test_a_file_of_its_name_that_is_not_ours_stays(tmp_path):
    path = tmp_path / "shelf-angle-readings.toml"
    path.write_text("mine = 1\n")
    refused = run("angle.toml")
    assert refused.exit_code == 2
    assert "was not written by Platewright" in refused.output
    assert path.read_text() == "mine = 1\n"


def test_readings_of_an_older_state_say_what_changed(tmp_path):
    filled = fill(written(tmp_path))
    (tmp_path / "angle.toml").write_text(ANGLE.replace("shelf = 90", "shelf = 95"))
    (tmp_path / "read.toml").write_text(filled)
    refused = run("angle.toml", "read.toml", "--out", "made")
    assert refused.exit_code == 2
    assert "read.toml: fingerprint: angle.toml has changed since" in refused.output
    assert not (tmp_path / "made").exists()


def test_what_is_wrong_with_a_readings_file_is_told_as_of_any_file(tmp_path):
    (tmp_path / "read.toml").write_text('[flat]\n"A to B" = 2 3/4\n')
    refused = run("angle.toml", "read.toml")
    assert refused.exit_code == 2
    assert "a length with a fraction or a unit stands in quotes" in refused.output
    (tmp_path / "read.toml").write_text("")
    refused = run("angle.toml", "read.toml", "--json")
    assert refused.exit_code == 2
    assert "no reading is filled in" in refused.output
    assert "no such file" in run("angle.toml", "rad.toml").output
    assert "this is a bracket file" in run("angle.toml", "angle.toml").output


def test_a_readings_file_given_as_the_bracket_file_is_told(tmp_path):
    written(tmp_path)
    refused = run("shelf-angle-readings.toml", "angle.toml")
    assert refused.exit_code == 2
    assert "this is a readings file" in refused.output


def test_readings_beside_bracket_files_are_passed_over(tmp_path):
    written(tmp_path)
    done = run("angle.toml", "shelf-angle-readings.toml", "--out", "made", command="make")
    assert done.exit_code == 0, done.output


def test_the_mock_up_and_each_hand_have_files_of_their_own(tmp_path):
    (tmp_path / "angle.toml").write_text('hand = "pair"' + ANGLE)
    done = run("angle.toml", "--pattern", "both", "--out", "made")
    assert done.exit_code == 0
    names = sorted(path.name for path in (tmp_path / "made").iterdir())
    assert names == [
        "shelf-angle-left-card-readings.toml",
        "shelf-angle-left-readings.toml",
        "shelf-angle-right-card-readings.toml",
        "shelf-angle-right-readings.toml",
    ]
    text = (tmp_path / "made" / "shelf-angle-right-card-readings.toml").read_text()
    assert answer(tmp_path, fill(text)).startswith(
        "shelf-angle-right (right hand), card: IT SERVES"
    )


def test_what_to_change_is_ready_for_set(tmp_path):
    """Of a part among several, keys that all share stand at the top of the file."""
    kerf = "[cutting]\nkerf = 4\n"
    (tmp_path / "angle.toml").write_text(
        f'units = "mm"\n{kerf}[stock]\nthickness = 6\nmaterial = "S235"\n'
        + '[bend]\nway = "brake"\nradius = 8\nk = 0.42\n'
        + "".join(
            f'[[part]]\nkind = "angle"\nname = "{name}"\nmeasured_to = "inside"\n'
            "shelf = 90\nupright = 110\nwidth = 120\n"
            'upright_holes = { count = 2, spacing = 70, gauge = 70, size = "M12" }\n'
            for name in ("other", "shelf-angle")
        )
    )
    filled = kerf_read(tmp_path, -2.0)
    found = json.loads(answer(tmp_path, filled, "--json"))
    assert found["sets"]
    assert any(each.startswith("cutting.kerf=") for each in found["sets"])
    tried = [word for each in found["sets"] for word in ("--set", each)]
    done = run("angle.toml", *tried, "--json", command="check")
    assert done.exit_code in (0, 1), done.output
    kerfs = {each["torch"]["kerf_mm"] for each in json.loads(done.output)["parts"]}
    assert len(kerfs) == 1
    assert kerfs != {4.0}
    # a number of the part's own
    off = json.loads(answer(tmp_path, fill(written(tmp_path), "flat", A_to_B=4), "--json"))
    assert all(each.startswith("part[2].") for each in off["sets"] if "cutting" not in each)


def test_a_reading_in_the_other_unit_is_told_as_that(tmp_path):
    filled = fill(written(tmp_path), "flat").replace('"A to B" = "70"', '"A to B" = "2.75"')
    found = json.loads(answer(tmp_path, filled, "--json"))
    assert found["outcome"] == "measure again"
    (cause,) = found["causes"]
    assert cause["words"] == "reading A to B is in inches, not mm"


# --- into the shop file -------------------------------------------------------------------------


def kerf_read(tmp_path, off):
    """Every outer size off by so much, the distances between holes true."""
    by = dict.fromkeys(("H_to_I", "F_to_G", "J_to_K", "L_to_M"), off)
    half = dict.fromkeys(("A_to_C", "B_to_C", "A_to_D", "B_to_D", "E_to_N", "E_to_O"), off / 2)
    return fill(written(tmp_path), "flat", **by, **half)


def test_a_kerf_of_another_width_is_added_to_the_shop_file(tmp_path):
    (tmp_path / "shop.toml").write_text('units = "mm"\n# mine\n')
    told = answer(tmp_path, kerf_read(tmp_path, -5.0), "--write")
    text = (tmp_path / "shop.toml").read_text()
    assert text.startswith('units = "mm"\n# mine\n')
    added = text.removeprefix('units = "mm"\n# mine\n').strip()
    assert added in told
    assert added.startswith("[[kerf]]")
    assert re.search(r'measured_on = "readings of shelf-angle, \w{3}-\w{3}"', added)
    # what the readings now were taken of has changed, and which file did is said
    refused = run("angle.toml", "read.toml")
    assert refused.exit_code == 2
    assert "the shop file has changed since" in refused.output


def test_the_shop_file_is_made_where_there_is_none(tmp_path):
    found = json.loads(answer(tmp_path, kerf_read(tmp_path, -5.0), "--write", "--json"))
    assert found["added"]["file"] == "shop.toml"
    assert found["added"]["text"] in (tmp_path / "shop.toml").read_text()


def test_nothing_is_added_of_a_true_part(tmp_path):
    told = answer(tmp_path, fill(written(tmp_path)), "--write")
    assert "nothing was added" in told
    assert not (tmp_path / "shop.toml").exists()


# --- against a new file -------------------------------------------------------------------------


def compared(tmp_path, text, new, *args):
    """What `compare` tells of a part that was read and the file that is wanted now."""
    (tmp_path / "read.toml").write_text(text)
    (tmp_path / "new.toml").write_text(new)
    done = run("angle.toml", "new.toml", "--readings", "read.toml", *args, command="compare")
    assert done.exit_code == 0, done.output
    return done.output


def test_a_part_that_came_out_as_the_new_file_wants_it_serves(tmp_path):
    # by the files alone metal is missing; but this one was cut long
    filled = fill(written(tmp_path), E_to_N=4, H_to_I=4, J_to_K=2.5, L_to_M=2.5, a=4)
    wider = ANGLE.replace("shelf = 90", "shelf = 94")
    told = compared(tmp_path, filled, wider)
    assert "must be cut again" in told
    found = json.loads(compared(tmp_path, filled, wider, "--json"))["as_read"]
    judged = {each["letter"]: each["judged"] for each in found["readings"]}
    assert judged["E to N"] == judged["H to I"] == judged["a"] == "good"


def test_a_part_that_was_cut_true_does_not_serve_a_larger_file(tmp_path):
    told = compared(
        tmp_path, fill(written(tmp_path), "flat"), ANGLE.replace("shelf = 90", "shelf = 94")
    )
    assert re.search(r"as read: shelf-angle: (MAKE IT AGAIN|IT CAN BE TRIMMED)", told)
    assert re.search(r"E to N\s+90.3 mm\s+for 94.3 mm\s+- 4.0 mm", told)


def test_what_changed_and_was_not_read_is_told(tmp_path):
    text = written(tmp_path).replace('"A to B" = ""', '"A to B" = "70"')
    text = text.replace('"E to O" = ""', '"E to O" = "110.5"')
    told = compared(tmp_path, text, ANGLE.replace("shelf = 90", "shelf = 94"))
    assert "as read: shelf-angle: IT SERVES AS IT IS" in told
    after = told.partition("changed and not read")[2]
    assert "E to N: bend 1 line to front of shelf, square" in after
    assert "A to B" not in after


def test_another_plate_hinders_whatever_was_read(tmp_path):
    thicker = ANGLE.replace("thickness = 6", "thickness = 8")
    told = compared(tmp_path, fill(written(tmp_path)), thicker)
    assert "does not serve as it is: the plate is another" in told


def test_the_new_file_must_have_the_part_that_was_read(tmp_path):
    (tmp_path / "read.toml").write_text(fill(written(tmp_path)))
    (tmp_path / "new.toml").write_text('hand = "mirrored"' + ANGLE)
    done = run("angle.toml", "new.toml", "--readings", "read.toml", command="compare")
    assert done.exit_code == 2
    assert "new.toml has no such part of this hand" in done.output
