"""What `make` cuts and prints when asked: patterns, torch file, SVG, guide, nicks."""

import atexit
import json
import re
from functools import cache
from pathlib import Path
from shutil import rmtree
from tempfile import mkdtemp

import ezdxf
import pypdfium2
import pytest
from click.testing import CliRunner

from platewright.cli.choosing import PATTERNS as CHOICES
from platewright.cli.root import root

PATTERNS = Path(__file__).parents[2] / "patterns"
SEAT = PATTERNS / "spring-seat.toml"

GUIDE = """
[cutting]
kerf = "1.5 mm"
lead = "arc"
overburn = "2 mm"
feed = "60 in/min"

[cutting.guide]
nozzle = "16 mm"
wall_edge = "net"
"""


def run(*args: object):
    return CliRunner().invoke(root, ["make", *(str(arg) for arg in args)])


def made(folder, *args):
    done = run(*args, "--out", folder, "--json")
    assert done.exit_code == 0, done.output
    return json.loads(done.stdout)["parts"]


def written(tmp_path, more="", source=SEAT, name="part.toml", **edits):
    text = source.read_text("utf-8")
    for old, new in edits.get("changes", ()):
        assert old in text
        text = text.replace(old, new)
    target = tmp_path / name
    target.write_text(text + more, "utf-8")
    return target


@cache
def seat_made(*args):
    """The report of the seat's one part and the folder that it is in, made once."""
    folder = Path(mkdtemp())
    atexit.register(rmtree, folder)
    (part,) = made(folder, SEAT, *args)
    return part, folder


def page_texts(path):
    document = pypdfium2.PdfDocument(path)
    return [page.get_textpage().get_text_range() for page in document]


def count(texts, words):
    return sum(words in text for text in texts)


def test_both_patterns_are_printed_and_each_page_says_which():
    part, folder = seat_made()
    texts = page_texts(folder / "spring-seat-template.pdf")
    card, plate = count(texts, "CARD PATTERN"), count(texts, "template for the plate")
    assert card > 0
    assert plate > 0
    assert not any("CARD PATTERN" in text and "template for the plate" in text for text in texts)
    assert len(texts) == part["pages"]


@pytest.mark.parametrize(
    ("pattern", "words", "other"),
    [
        ("card", "CARD PATTERN", "template for the plate"),
        ("plate", "template for the plate", "CARD PATTERN"),
    ],
)
def test_one_pattern_alone(pattern, words, other):
    part, folder = seat_made("--svg", "--pattern", pattern)
    texts = page_texts(folder / "spring-seat-template.pdf")
    assert count(texts, words) > 0
    assert count(texts, other) == 0
    assert len(texts) == part["pages"]


def test_without_bends_there_is_one_pattern(tmp_path):
    made(tmp_path, PATTERNS / "tie-down-tab.toml")
    texts = page_texts(tmp_path / "tie-down-tab-template.pdf")
    assert count(texts, "CARD PATTERN") == 0


def test_the_check_sheet_tells_the_difference_and_the_cutting():
    _, folder = seat_made()
    text = " ".join(page_texts(folder / "spring-seat-check.pdf"))
    assert "Card and plate are two blanks" in text
    assert "Never compensate twice" in text
    assert re.search(r"Torch path [\d.]+ in, 4 pierces", text)


def test_the_card_s_thickness_counts_when_it_is_given(tmp_path):
    thick = written(tmp_path, '\n[card]\nthickness = "3 mm"\n')
    _, folder = seat_made("--svg", "--pattern", "card")
    made(tmp_path, thick, "--svg", "--pattern", "card")
    thin_svg, thick_svg = (
        (where / "spring-seat-card.svg").read_text() for where in (folder, tmp_path)
    )
    widths = [float(re.search(r'width="([\d.]+)mm"', svg)[1]) for svg in (thin_svg, thick_svg)]
    # each gusset's depth is measured to the outside face: a thickness less on either side
    assert widths[0] - widths[1] == pytest.approx(2 * 3.0, abs=1e-3)


def test_the_torch_file_is_written_when_asked():
    part, folder = seat_made("--torch", "--svg")
    assert "spring-seat-torch.dxf" in [Path(name).name for name in part["files"]]
    document = ezdxf.readfile(folder / "spring-seat-torch.dxf")
    assert {e.dxf.layer for e in document.modelspace()} == {"TORCH-PATH", "PIERCE-POINTS", "NOTES"}
    assert not (seat_made()[1] / "spring-seat-torch.dxf").exists()


@pytest.mark.parametrize(("asked", "names"), [
    (("--svg", "--pattern", "card"), {"card"}),
    (("--svg", "--pattern", "plate"), {"plate"}),
    (("--torch", "--svg"), {"card", "plate"}),
])  # fmt: skip
def test_the_svg_goes_by_the_pattern(asked, names):
    found = {path.name for path in seat_made(*asked)[1].glob("*.svg")}
    assert found == {f"spring-seat-{name}.svg" for name in (*names, "view")}


def test_a_pair_has_an_svg_for_each_hand(tmp_path):
    one = [('units = "in"', 'units = "in"\nhand = "pair"')]
    pair = written(tmp_path, source=PATTERNS / "rail-angle.toml", changes=one)
    made(tmp_path / "out", pair, "--svg", "--pattern", "card")
    found = {path.name for path in (tmp_path / "out").glob("*.svg")}
    hands = ("left", "right")
    assert found == {f"rail-angle-{hand}-{what}.svg" for hand in hands for what in ("card", "view")}


def test_a_guide_has_its_pages_and_its_layer(tmp_path):
    part_file = written(tmp_path, GUIDE)
    (part,) = made(tmp_path / "out", part_file, "--torch", "--svg")
    texts = page_texts(tmp_path / "out" / "spring-seat-template.pdf")
    assert count(texts, "TRACING GUIDE") > 0
    assert len(texts) == part["pages"]
    document = ezdxf.readfile(tmp_path / "out" / "spring-seat.dxf")
    assert len(document.modelspace().query('*[layer=="TRACING-GUIDE"]')) == 1
    assert len(document.modelspace().query('*[layer=="TORCH-LEADS"]')) > 0
    assert part["torch"]["cutting_minutes"] == pytest.approx(part["torch"]["burn_mm"] / 1524)
    # made again, the same bytes
    made(tmp_path / "again", part_file, "--torch", "--svg")
    first, second = (
        {path.name: path.read_bytes() for path in (tmp_path / folder).iterdir()}
        for folder in ("out", "again")
    )
    assert first == second
    assert len(first) == 7


def test_a_guide_that_cannot_be_is_refused_by_its_key(tmp_path):
    large = GUIDE.replace("16 mm", "3 in").replace('"net"', '"inset"')
    narrow = written(tmp_path, large, source=PATTERNS / "lamp-tab.toml")
    done = run(narrow, "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert "cutting.guide" in done.stderr
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("more", "key"),
    [
        ("\n[cutting.guide]\n", "cutting.guide.nozzle"),
        ('\n[cutting.guide]\nnozzle = "1 in"\nstand_off = "1/2 in"\n', "cutting.guide.stand_off"),
        ('\n[detail]\nnick_depth = "3 mm"\n', "detail.nick_depth"),
    ],
)
def test_what_contradicts_itself_is_told_by_its_key(tmp_path, more, key):
    done = run(written(tmp_path, more), "--out", tmp_path / "out")
    assert done.exit_code == 2
    assert key in done.stderr


def test_nicks_are_in_the_outline_and_in_the_torch_path(tmp_path):
    nicked = written(tmp_path, "\n[detail]\nnicks = true\n")
    (bare, _), (cut,) = seat_made(), made(tmp_path, nicked, "--pattern", "plate")
    # four strip sides of 0.11 in, half a plate of 3/16 in deep
    taken = 4 * (0.11 * 25.4) * (3 / 32 * 25.4) / 2
    assert bare["blank"]["area_mm2"] - cut["blank"]["area_mm2"] == pytest.approx(taken)
    assert cut["torch_path_mm"] > bare["torch_path_mm"]


def test_small_holes_are_punched_and_said_so(tmp_path):
    punched = written(tmp_path, "\n[cutting]\nhole_factor = 2.5\n")
    (part,) = made(tmp_path / "out", punched, "--pattern", "plate")
    assert part["torch"]["punched"] == ["bolt hole 1", "bolt hole 2"]
    assert part["torch"]["pierces"] == 2
    done = run(punched, "--pattern", "plate", "--out", tmp_path / "out")
    assert "bolt hole 1: punch only, not cut; drill it" in done.stdout


def test_the_choices_are_those_that_the_work_knows():
    assert CHOICES == ("card", "plate", "both")
