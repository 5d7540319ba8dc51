"""The shop file at the command line: which one is read, what is said of it, and bad ones."""

from __future__ import annotations

import json
from pathlib import Path

import ezdxf
import pypdfium2
import pytest
from click.testing import CliRunner

from platewright.cli.root import root
from platewright.files.shop_file import load_shop

ANGLE = """\
kind = "angle"
name = "stay"
units = "in"
measured_to = "outside"
shelf = "3"
upright = "3 1/2"
width = "4"

[stock]
thickness = "3/16"
material = "A36"

[bend]
way = "brake"
radius = "1/4"
"""

SHOP = """\
units = "in"
paper = "A4"

[[kerf]]
thickness = "3/16"
kerf = "0.07"
measured_on = "coupon of 3 March"

[[bend]]
material = "A36"
thickness = "3/16"
way = "brake"
radius = "1/4"
k = 0.41
springback = 1.5
measured_on = "strip of 4 March"

[[rack]]
material = "A36"
thickness = "3/16"
sheet = "24 x 48"
count = 2

[[remnant]]
size = "10 x 12"
material = "A36"
thickness = "3/16"
"""


@pytest.fixture
def stay(tmp_path: Path) -> Path:
    """A bracket file without a k of its own, beside a shop file."""
    (tmp_path / "shop.toml").write_text(SHOP)
    path = tmp_path / "stay.toml"
    path.write_text(ANGLE)
    return path


def run(*words: object) -> object:
    return CliRunner().invoke(root, list(map(str, words)))


def words_of(path: Path) -> str:
    with pypdfium2.PdfDocument(path) as pdf:
        return " ".join(" ".join(page.get_textpage().get_text_range() for page in pdf).split())


def test_every_sheet_and_the_json_say_where_each_figure_comes_from(stay):
    out = stay.parent / "made"
    found = run("make", stay, "--out", out, "--torch", "--json")
    assert found.exit_code == 0
    (part,) = json.loads(found.output)["parts"]
    told = {f["key"]: (f["words"], f["from"], f["measured_on"]) for f in part["figures"]}
    assert told["cutting.kerf"] == ("0.070 in", "shop", "coupon of 3 March")
    assert told["bend.k"] == ("0.41", "shop", "strip of 4 March")
    assert told["bend.radius"] == ("1/4 in", "file", None)
    assert told["tape.division"] == ("1/32 in", "default", None)
    check = words_of(out / "stay-check.pdf")
    assert "shop file: coupon of 3 March: kerf = 0.070 in" in check
    assert "this file: inside radius = 1/4 in" in check
    assert "usual, not measured: tape's division = 1/32 in" in check.replace("\u2019", "'")
    assert "1.5° (shop file: strip of 4 March)" in check
    template = words_of(out / "stay-template.pdf")
    assert "neutral-line factor 0.41 (shop file: strip of 4 March)" in template
    for name in ("stay.dxf", "stay-torch.dxf"):
        texts = ezdxf.readfile(out / name).modelspace().query("TEXT MTEXT")
        plain = (t.text if t.dxftype() == "MTEXT" else t.dxf.text for t in texts)
        words = " ".join(" ".join(plain).split())
        assert "kerf of 0.070 in (shop file: coupon of 3 March)" in words


def test_the_screen_names_what_the_shop_gave(stay):
    for command in (("check", stay), ("make", stay, "--out", stay.parent / "made")):
        found = run(*command)
        assert "from the shop file: kerf 0.070 in (coupon of 3 March); " in found.output
        assert (
            "neutral-line factor 0.41, springback 1.5° (strip of 4 March); paper A4" in found.output
        )


def test_a_tracing_guide_says_whose_kerf_it_allows_for(stay):
    stay.write_text(ANGLE + '[cutting.guide]\nnozzle = "5/8"\n')
    assert run("make", stay, "--out", stay.parent / "made").exit_code == 0
    words = words_of(stay.parent / "made" / "stay-template.pdf")
    assert "less half the kerf of 0.070 in (shop file: coupon of 3 March)" in words


def test_another_shop_file_or_none_may_be_asked_for(stay, tmp_path):
    found = run("check", stay, "--no-shop")
    assert found.exit_code == 2
    assert 'bend.k: a bend made by "brake" needs its k' in found.output
    other = tmp_path / "other" / "ours.toml"
    other.parent.mkdir()
    other.write_text(SHOP.replace("0.41", "0.36"))
    found = run("check", stay, "--shop", other, "--json")
    (part,) = json.loads(found.output)["parts"]
    assert next(f["words"] for f in part["figures"] if f["key"] == "bend.k") == "0.36"
    found = run("check", stay, "--shop", other, "--no-shop")
    assert found.exit_code == 2
    assert "--shop and --no-shop: give one of the two" in found.output
    found = run("check", stay, "--shop", tmp_path / "nowhere.toml")
    assert found.exit_code == 2
    assert "no such file" in found.output


def test_what_is_tried_wins_over_the_shop(stay):
    found = run("check", stay, "--set", "bend.k=0.3", "--set", "cutting.kerf=1/16", "--json")
    (part,) = json.loads(found.output)["parts"]
    told = {each["key"]: (each["words"], each["from"]) for each in part["figures"]}
    assert told["bend.k"] == ("0.3", "file")
    assert told["cutting.kerf"] == ("1/16 in", "file")


def test_a_shop_file_with_mistakes_is_told_once_and_nothing_is_written(stay):
    (stay.parent / "shop.toml").write_text(SHOP.replace('kerf = "0.07"', 'kref = "0.07"'))
    second = stay.parent / "second.toml"
    second.write_text(ANGLE.replace("stay", "second"))
    out = stay.parent / "made"
    found = run("make", stay, second, "--out", out)
    assert found.exit_code == 2
    assert found.output.count("kerf[1].kref: no such key") == 1
    assert "did you mean 'kerf'?" in found.output
    assert "2 mistakes; nothing was written" in found.output
    assert not out.exists()


def test_a_shop_file_is_no_bracket_file_and_a_bracket_file_no_shop_file(stay):
    found = run("check", stay.parent / "shop.toml")
    assert found.exit_code == 2
    assert "this is the shop's own figures, not a bracket file" in found.output
    found = run("check", stay, "--shop", stay)
    assert found.exit_code == 2
    assert "this is a bracket file, not the shop's own figures" in found.output


def test_all_files_of_a_folder_may_be_named_at_once(stay):
    out = stay.parent / "made"
    found = run("make", *sorted(stay.parent.glob("*.toml")), "--out", out)
    assert found.exit_code == 0
    assert (out / "stay.dxf").exists()
    # a bracket that is called shop is a bracket
    (stay.parent / "shop.toml").write_text(ANGLE.replace("stay", "bench") + "k = 0.4\n")
    stay.write_text(ANGLE + "k = 0.4\n")
    assert run("make", *sorted(stay.parent.glob("*.toml")), "--out", out).exit_code == 0
    assert (out / "bench.dxf").exists()


def test_sheets_from_before_a_kerf_was_measured_are_out_of_date(stay):
    out = stay.parent / "made"
    assert run("make", stay, "--out", out, "--torch").exit_code == 0
    old = (out / "stay-torch.dxf").read_bytes()
    with (stay.parent / "shop.toml").open("a") as file:
        file.write('[[kerf]]\nthickness = "3/16"\nkerf = "0.08"\nmeasured_on = "May"\n')
    assert run("make", stay, "--out", out).exit_code == 0
    assert (out / "stay-torch.dxf").read_bytes() != old  # made again unasked


def test_the_paper_is_the_shop_s_unless_the_call_names_another(stay):
    sizes = {}
    for paper in ((), ("--paper", "letter")):
        assert run("make", stay, "--out", stay.parent / "made", *paper).exit_code == 0
        with pypdfium2.PdfDocument(stay.parent / "made" / "stay-check.pdf") as pdf:
            sizes[paper] = pdf[0].get_width()
    assert sizes[()] == pytest.approx(210 / 25.4 * 72, abs=0.1)
    assert sizes[("--paper", "letter")] == pytest.approx(8.5 * 72)


def test_a_form_takes_the_paper_of_the_shop_file_beside_it(stay):
    form = stay.parent / "form.pdf"
    assert run("form", "zee", "-o", form).exit_code == 0
    with pypdfium2.PdfDocument(form) as pdf:
        assert pdf[0].get_width() == pytest.approx(210 / 25.4 * 72, abs=0.1)


# --- compare ------------------------------------------------------------------------------------


def test_compare_tells_a_figure_that_the_shop_measured_since(stay):
    old = stay.parent / "before" / "stay.toml"
    old.parent.mkdir()
    old.write_text(ANGLE + "k = 0.38\n")
    found = run("compare", old, stay)
    assert found.exit_code == 0
    assert "bend.k: 0.38 -> 0.41 (shop file: strip of 4 March)" in found.output
    assert "cutting.kerf: 0.060 in -> 0.070 in (shop file: coupon of 3 March)" in found.output


# --- nest ---------------------------------------------------------------------------------------


def test_a_nest_without_stock_lies_on_the_rack_remnants_first(stay):
    out = stay.parent / "nest"
    found = run("nest", stay, "--out", out, "--tries", 1, "--json")
    assert found.exit_code == 0
    told = json.loads(found.output)
    (plate,) = told["plates"]
    assert told["figures"]["stay"][0]["measured_on"] == "coupon of 3 March"
    assert "kerf 0.070 in (shop file: coupon of 3 March)" in words_of(out / "nest.pdf")
    assert [sheet["stock"] for sheet in plate["sheets"]] == ["remnant 10 in x 12 in, off the rack"]
    found = run("nest", stay, "--out", out, "--tries", 1, "--sheet", "30x30", "--json")
    (plate,) = json.loads(found.output)["plates"]
    assert [sheet["stock"] for sheet in plate["sheets"]] == ["30 in x 30 in"]


def test_plate_of_another_thickness_on_the_rack_is_no_stock(stay):
    text = SHOP.replace('thickness = "3/16"\nsheet', 'thickness = "1/4"\nsheet')
    (stay.parent / "shop.toml").write_text(text[: text.index("[[remnant]]")])
    found = run("nest", stay, "--out", stay.parent / "nest")
    assert found.exit_code == 2
    assert "no stock is given for 3/16 in A36" in found.output
    found = run("nest", stay, "--out", stay.parent / "nest", "--no-shop", "--sheet", "24x48")
    assert "needs its k" in found.output


@pytest.mark.parametrize(
    ("file", "words"),
    [
        ("../left.toml", "outside the folder of the shop file"),
        ("left.toml", "no such file"),
        ("bad.toml", "outline: missing"),
    ],
)
def test_a_remnant_s_own_file_lies_beside_the_shop_file_and_reads(stay, file, words):
    (stay.parent / "bad.toml").write_text('units = "in"')
    head = SHOP[: SHOP.index("[[remnant]]")]
    (stay.parent / "shop.toml").write_text(f'{head}[[remnant]]\nfile = "{file}"\n')
    found = run("nest", stay, "--out", stay.parent / "nest")
    assert found.exit_code == 2
    assert "shop.toml: remnant[1].file: " in found.output
    assert words in found.output
    assert not (stay.parent / "nest").exists()


@pytest.mark.parametrize("text", ["pin = “1234”\n", 'door = "1234"\n', 'x = "1234\n'])
def test_of_a_file_that_is_no_remnant_nothing_is_told(stay, text):
    (stay.parent / "other.txt").write_text(text)
    head = SHOP[: SHOP.index("[[remnant]]")]
    (stay.parent / "shop.toml").write_text(f'{head}[[remnant]]\nfile = "other.txt"\n')
    found = run("nest", stay, "--out", stay.parent / "nest")
    assert found.exit_code == 2
    assert "other.txt: outline: missing: no remnant can be read from it" in found.output
    assert "1234" not in found.output


def test_what_a_nest_leaves_can_go_onto_the_rack(stay):
    out = stay.parent / "nest"
    assert run("nest", stay, "--out", out, "--tries", 1, "--sheet", "24x48").exit_code == 0
    head = SHOP[: SHOP.index("[[remnant]]")]
    (stay.parent / "shop.toml").write_text(f'{head}[[remnant]]\nfile = "nest/nest-1-left.toml"\n')
    found = run("nest", stay, "--out", out, "--tries", 1)
    assert found.exit_code == 0
    assert "remnant nest-1-left" in found.output


# --- start --------------------------------------------------------------------------------------


def test_a_shop_file_to_fill_in_is_written_and_read_back(tmp_path):
    path = tmp_path / "shop.toml"
    found = run("start", "shop", "--units", "mm", "-o", path)
    assert found.exit_code == 0
    assert "platewright make, for the files beside it" in found.output
    assert load_shop(path).unit == "mm"
    bracket = tmp_path / "stay.toml"
    bracket.write_text(ANGLE + "k = 0.4\n")
    assert run("check", bracket).exit_code in (0, 1)


def test_a_bracket_file_to_fill_in_leaves_to_the_shop_what_the_shop_measures(tmp_path):
    (tmp_path / "shop.toml").write_text(SHOP)
    path = tmp_path / "mine.toml"
    assert run("start", "zee", "-o", path).exit_code == 0
    assert "Left out: the shop file's, else 0.06 in." in path.read_text()
    (part,) = json.loads(run("check", path, "--json").output)["parts"]
    (kerf,) = (each for each in part["figures"] if each["key"] == "cutting.kerf")
    assert kerf["from"] == "shop"
