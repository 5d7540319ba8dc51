"""A seat file that names the setup of its suspension: what is read, told, refused and made."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner

from laws.example_setups import ARM
from platewright.cli.root import root
from platewright.errors import FileError
from platewright.files.job import worked_out
from platewright.files.reader import load_job, read_job
from platewright.files.setup import no_setups, read_setup, travel_of
from platewright.kinds.kind import catalogue
from platewright.suspension.mounting import comes_to

PATTERNS = Path(__file__).parents[2] / "patterns"
SEAT = (PATTERNS / "spring-seat-travel.toml").read_text(encoding="utf-8")
SETUP = "travel-trailing-arm.toml"


def run(*args: object):
    return CliRunner().invoke(root, [str(arg) for arg in args])


@pytest.fixture
def seat(tmp_path: Path) -> Path:
    """The pattern and its setup, alone in a folder."""
    (tmp_path / SETUP).write_text((PATTERNS / SETUP).read_text("utf-8"), encoding="utf-8")
    return written(tmp_path, SEAT)


def written(folder: Path, text: str) -> Path:
    path = folder / "seat.toml"
    path.write_text(text, encoding="utf-8")
    return path


def refused(path: Path) -> list[str]:
    with pytest.raises(FileError) as caught:
        load_job(path)
    assert {mistake.file for mistake in caught.value.mistakes} == {str(path)}
    return [str(mistake) for mistake in caught.value.mistakes]


# --- reading ----------------------------------------------------------------------------------


def test_the_setup_is_read_from_beside_the_bracket_file(seat, monkeypatch, tmp_path):
    (part,) = load_job(seat).parts
    assert part.mounting is not None
    assert part.mounting.on.end == "upper"
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.chdir(elsewhere)
    (again,) = load_job(seat).parts
    assert again.mounting == part.mounting


def test_a_setup_in_another_folder(seat, tmp_path):
    (tmp_path / "axles").mkdir()
    (tmp_path / SETUP).rename(tmp_path / "axles" / SETUP)
    (part,) = load_job(written(tmp_path, SEAT.replace(SETUP, f"axles/{SETUP}"))).parts
    assert part.mounting is not None


SECRET = "user = root; the secret line"
NO_SETUPS = {
    "words": SECRET,
    "another table": f'[login]\nkey = "{SECRET}"\n',
    "a bracket": f'kind = "zee"\nnote = "{SECRET}"\n',
    "half a setup": f'[travel]\nkey = "{SECRET}\n',
    "bytes": b"[travel]\n\xff " + SECRET.encode(),
}


@pytest.mark.parametrize("what", NO_SETUPS)
def test_of_a_file_that_is_no_setup_nothing_is_told(seat, tmp_path, what):
    text = NO_SETUPS[what]
    (tmp_path / SETUP).write_bytes(text if isinstance(text, bytes) else text.encode())
    (told,) = refused(seat)
    assert "secret" not in told
    assert "login" not in told
    assert SETUP in told


@pytest.mark.parametrize("how", ["absolute", "dots"])
def test_a_setup_outside_the_folder_is_called_for_on_the_command_line(seat, tmp_path, how):
    brackets = tmp_path / "brackets"
    brackets.mkdir()
    setup = tmp_path / SETUP
    path = str(setup) if how == "absolute" else f"../{SETUP}"
    outside = written(brackets, SEAT.replace(SETUP, path))
    (told,) = refused(outside)
    assert f"add --setup {path} to the call" in told
    (part,) = load_job(outside, setups=[setup]).parts
    assert part.mounting is not None
    done = CliRunner().invoke(root, ["check", str(outside), "--setup", str(setup)])
    assert done.exit_code in (0, 1), done.output


def test_a_whole_path_into_its_own_folder_serves(seat, tmp_path):
    (part,) = load_job(written(tmp_path, SEAT.replace(SETUP, str(tmp_path / SETUP)))).parts
    assert part.mounting is not None


def test_the_pure_reader_asks_for_the_travel_by_the_path_in_the_file():
    asked = []

    def setups(path):
        asked.append(path)
        return travel_of(read_setup(ARM, path))

    (part,) = read_job(SEAT, "seat.toml", catalogue(), setups).parts
    assert asked == [SETUP]
    assert part.mounting is not None
    with pytest.raises(FileError, match="no setup file can be read from here"):
        read_job(SEAT, "seat.toml", catalogue(), no_setups)


def test_a_setup_in_another_unit_is_told_in_the_brackets(tmp_path):
    (tmp_path / SETUP).write_text((PATTERNS / "travel-four-link.toml").read_text("utf-8"), "utf-8")
    (part,) = load_job(written(tmp_path, SEAT)).parts
    assert part.mounting is not None
    assert part.mounting.travel.layout.unit == "in"


SHARED = """
units = "in"
[stock]
thickness = "1/4"
material = "A36"
[bend]
way = "crease"
"""
PART = """
[[part]]
kind = "seat"
name = "{end}-seat"
travel = "travel-trailing-arm.toml"
mount = "{end}"
plate_diameter = 5
body_diameter = "6 1/2"
wall_gap = 1
[part.bolts]
count = 1
"""


def test_parts_of_one_file_may_name_one_setup(seat, tmp_path):
    text = SHARED + "".join(PART.format(end=end) for end in ("upper", "lower"))
    first, second = load_job(written(tmp_path, text)).parts
    assert first.mounting is not None
    assert second.mounting is not None
    assert (first.mounting.on.end, second.mounting.on.end) == ("upper", "lower")
    assert first.mounting.travel == second.mounting.travel


# --- refusing ---------------------------------------------------------------------------------


def test_a_setup_that_is_not_there_and_the_one_that_may_be_meant(seat, tmp_path):
    (line,) = refused(written(tmp_path, SEAT.replace(SETUP, "travel-trailing-arn.toml")))
    assert line.startswith(f"{seat}: travel: in the setup file: ")
    assert (
        "travel-trailing-arn.toml: no such file; did you mean 'travel-trailing-arm.toml'?" in line
    )


def test_every_mistake_of_the_setup_is_told_with_both_files(seat, tmp_path):
    text = (tmp_path / SETUP).read_text("utf-8")
    (tmp_path / SETUP).write_text(
        text.replace("least        =", "leest        =").replace('"24"', '"24 yd"'), "utf-8"
    )
    lines = refused(seat)
    assert len(lines) == 3
    assert all(line.startswith(f"{seat}: travel: in the setup file: ") for line in lines)
    assert all(str(tmp_path / SETUP) in line for line in lines)
    assert any("spring.leest: no such key" in line for line in lines)
    assert any("trailing_arm.length" in line for line in lines)


def test_a_setup_whose_linkage_cannot_be_is_told(seat, tmp_path):
    text = (tmp_path / SETUP).read_text("utf-8")
    (tmp_path / SETUP).write_text(text.replace('length      = "24"', 'length = "3"'), "utf-8")
    (line,) = refused(seat)
    assert "the linkage cannot be laid out" in line
    assert str(tmp_path / SETUP) in line


def test_a_mount_that_stands_badly_says_nothing_of_the_one_that_takes_its_place(seat, tmp_path):
    text = (tmp_path / SETUP).read_text("utf-8")
    low = text.replace("[tyre]", '[mount]\nalong = "15 1/2"\nabove = "10"\n[tyre]')
    plain = {each.key: each.value for each in comes_to_of(seat)}
    (tmp_path / SETUP).write_text(low, encoding="utf-8")
    assert {each.key: each.value for each in comes_to_of(seat)} == pytest.approx(plain)
    assert "bottoms out" not in run("check", seat).output


def test_a_ride_height_that_the_new_mount_does_not_reach_is_told(seat, tmp_path):
    text = (tmp_path / SETUP).read_text("utf-8").replace('full = "9 1/2"', "")
    low = text.replace("[tyre]", '[mount]\nalong = "15 1/2"\nabove = "10"\n[tyre]')
    centred = low.replace('ride = "4" ', 'ride = "12 1/4"\ncentred = "4" ')
    (tmp_path / SETUP).write_text(centred, encoding="utf-8")
    (told,) = refused(seat)
    assert "travel: with this mount in its place, a ride height of 12 1/4 in" in told


def comes_to_of(seat: Path):
    (part,) = load_job(seat).parts
    assert part.mounting is not None
    return comes_to(part.mounting)


def test_mistakes_of_the_seat_and_of_its_setup_come_together(seat, tmp_path):
    (tmp_path / SETUP).unlink()
    lines = refused(written(tmp_path, SEAT.replace('material  = "A36"', 'material = "A37"')))
    assert len(lines) == 2


@pytest.mark.parametrize(
    ("path", "words"),
    [
        (".", "this is a folder"),
        ("", "this is a folder"),
        ("seat.toml", "this is a bracket file, not the setup of a suspension"),
        ("./../{folder}/seat.toml", "this is a bracket file"),
        ("x" * 180, "cannot be read|no such file"),
    ],
)
def test_a_path_that_is_no_setup(seat, tmp_path, path, words):
    named = path.replace("{folder}", tmp_path.name)
    (line,) = refused(written(tmp_path, SEAT.replace(SETUP, named)))
    assert any(word in line for word in words.split("|"))


@pytest.mark.skipif(not hasattr(os, "symlink"), reason="no links here")
def test_a_path_that_leads_to_itself(seat, tmp_path):
    (tmp_path / SETUP).unlink()
    (tmp_path / SETUP).symlink_to(tmp_path / SETUP)
    (line,) = refused(seat)
    assert "cannot be read" in line


def test_a_setup_that_is_no_toml(seat, tmp_path):
    (tmp_path / SETUP).write_bytes(b"\x00\xff")
    (line,) = refused(seat)
    assert "UTF-8" in line


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('mount     = "upper"', "", "mount: say which mount of the spring this seat is"),
        (f'travel    = "{SETUP}"', "", "mount: has no use without travel"),
        (f'"{SETUP}"', "7", "travel: should be words in quotes"),
        ('"upper"', '"middle"', 'mount: should be one of "upper", "lower"'),
        ('"along"', '"up"', 'wall_runs: should be one of "along", "across"'),
    ],
)
def test_keys_that_do_not_go_together(seat, tmp_path, old, new, words):
    assert old in SEAT
    assert any(words in line for line in refused(written(tmp_path, SEAT.replace(old, new))))


def test_each_command_knows_the_other_sort_of_file(seat, tmp_path):
    done = run("make", tmp_path / SETUP, "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert "this is the setup of a suspension, not a bracket file" in done.stderr
    done = run("travel", seat)
    assert done.exit_code == 2
    assert "this is a bracket file, not the setup of a suspension" in done.stderr


# --- what comes of it -------------------------------------------------------------------------


def test_the_strength_screen_takes_the_springs_greatest_force(seat):
    (ready,) = worked_out([load_job(seat)])
    strength = ready.judgements[0].strength
    assert strength is not None
    assert ready.mounting is not None
    assert strength.load == ready.mounting.travel.greatest_force
    assert strength.origin.endswith(f"through its travel, from {SETUP}")


def test_a_load_in_the_file_goes_first(seat, tmp_path):
    own = SEAT + '\n[load]\nforce = "900 lbf"\n'
    (ready,) = worked_out([load_job(written(tmp_path, own))])
    strength = ready.judgements[0].strength
    assert strength is not None
    assert strength.load == pytest.approx(900 * 4.4482216, rel=1e-6)
    assert strength.origin == "as the file states it"


def test_a_mock_up_in_card_carries_nothing(seat, tmp_path):
    card = SEAT.replace(
        'thickness = "1/4"\nmaterial  = "A36"', 'thickness = "0.02"\nmaterial = "card"'
    )
    card = card.replace('way      = "score"\ngroove   = "1/8"\nligament = "1/16"', 'way = "crease"')
    (part,) = load_job(written(tmp_path, card)).parts
    assert part.load is None


def test_a_spring_that_rubs_through_its_travel_must_be_changed(seat, tmp_path):
    tight = written(tmp_path, SEAT.replace('clearance      = "7/8"', 'clearance = "1/8"'))
    done = run("check", tight)
    assert done.exit_code == 1
    assert "change: body through the travel: left gusset" in done.stdout
    assert run("check", PATTERNS / "spring-seat-travel.toml").exit_code == 0


# --- the outputs ------------------------------------------------------------------------------


def words(path: Path) -> list[str]:
    with pypdfium2.PdfDocument(path) as pdf:
        return [page.get_textpage().get_text_bounded() for page in pdf]


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """The pattern made, and the folder that it is in."""
    folder = tmp_path_factory.mktemp("made")
    return run("make", PATTERNS / "spring-seat-travel.toml", "--out", folder), folder


def test_the_check_sheet_tells_where_the_bracket_sits(made):
    done, folder = made
    assert done.exit_code == 0, done.output
    sheet = "\n".join(words(folder / "spring-seat-travel-check.pdf"))
    for expected in (
        "this is the spring's upper mount (travel-trailing-arm.toml)",
        "Set-up height",
        '3 1/2"',
        "Spacer box, its front wall",
        "Ride height",
        "The plate's height: the same face above the datum line",
        '10 13/16" strong',
        "Greatest force of the spring on this bracket through the travel",
        "2119 lb (9.43 kN)",
        "Fingers between frame, axle and ground are crushed",
        "use rated stands",
    ):
        assert expected in sheet
    assert "upper mount of the spring, by travel-trailing-arm.toml" in done.stdout


def test_the_template_ends_with_one_spacer_also_for_a_pair(seat, tmp_path, made):
    pair = written(tmp_path, 'hand = "pair"\n' + SEAT)
    assert run("make", pair, "--pattern", "plate", "--out", tmp_path).exit_code == 0
    for folder in (made[1], tmp_path):
        pages = words(folder / "spring-seat-travel-template.pdf")
        spacers = [page for page in pages if "Spacer for the spring, full scale" in page]
        assert len(spacers) == 1
        assert "middle to middle 3 1/2" in spacers[0]


def test_a_seat_without_a_travel_has_neither(tmp_path):
    plain = PATTERNS / "spring-seat.toml"
    done = run("make", plain, "--pattern", "plate", "--out", tmp_path, "--json")
    assert json.loads(done.stdout)["parts"][0]["travel"] is None
    sheets = "".join(
        words(tmp_path / f"spring-seat-{sort}.pdf")[-1] for sort in ("check", "template")
    )
    assert "Spacer for the spring" not in sheets
    assert "mount of the spring" not in sheets


def test_json_tells_the_setup_the_mount_and_the_figures(seat, tmp_path, made):
    done = run("make", seat, "--out", tmp_path / "out", "--json")
    for one in made[1].iterdir():
        # the same, from a file of another name
        assert one.read_bytes() == (tmp_path / "out" / one.name).read_bytes()
    (part,) = json.loads(done.stdout)["parts"]
    travel = part["travel"]
    assert (travel["setup"], travel["mount"]) == (SETUP, "upper")
    assert travel["figures"]["set_up_height"] == pytest.approx(3.5 * 25.4)
    assert travel["figures"]["plate_slope"] == pytest.approx(-3.4, abs=0.05)
    assert travel["figures"]["greatest_force"] == pytest.approx(9427.1, abs=0.1)


@pytest.mark.parametrize("paper", ["A4", "single", "tabloid"])
def test_every_paper_carries_the_spacer(seat, tmp_path, paper):
    done = run("make", seat, "--pattern", "plate", "--out", tmp_path, "--paper", paper)
    assert done.exit_code == 0, done.output
    assert any("Spacer" in page for page in words(tmp_path / "spring-seat-travel-template.pdf"))
