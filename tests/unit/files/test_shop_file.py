"""The shop file: what it may hold, and what is added at its end."""

from __future__ import annotations

import math
import os

import pytest

from platewright.errors import FileError, OutputError
from platewright.files.setup import read_setup
from platewright.files.shop_file import NO_SHOP, add_table, load_shop, read_shop, shop_for
from platewright.files.source import LARGEST_FILE

GOOD = """\
units = "in"
paper = "letter"

[tape]
division = "1/32"

[hands]
push = "60 lbf"

[[kerf]]
thickness   = "3/16"
process     = "plasma"
kerf        = "0.062"
holes       = "0.055"
measured_on = "coupon of 3 March"

[[groove]]
wheel       = "1/16"
groove      = "0.08"
measured_on = "trial groove of 3 March"

[[bend]]
material    = "A36"
thickness   = "3/16"
way         = "brake"
radius      = "1/4"
allowance   = "0.51"
springback  = 1.5
measured_on = "strip of 4 March"

[[printer]]
across      = 0.995
measured_on = "page of 4 March"

[[rack]]
material  = "A36"
thickness = "3/16"
sheet     = "48 x 96"
count     = 2

[[remnant]]
file = "nest-1-left.toml"
"""


def mistakes(text):
    with pytest.raises(FileError) as refused:
        read_shop(text, "shop.toml")
    return [str(each) for each in refused.value.mistakes]


def test_every_figure_is_read_with_what_it_was_measured_on():
    figures = read_shop(GOOD, "shop.toml").figures
    (kerf,), (bend,), (printer,) = figures.kerf, figures.bend, figures.printer
    assert (kerf.thickness, kerf.kerf, kerf.holes) == pytest.approx((4.7625, 1.5748, 1.397))
    assert (kerf.process, kerf.measured_on) == ("plasma", "coupon of 3 March")
    # the textbook rule turned round, FAA-H-8083-31 ch. 4: BA = a (R + K T)
    assert bend.neutral_factor == pytest.approx((0.51 / (math.pi / 2) - 0.25) / 0.1875)
    assert bend.springback == pytest.approx(math.radians(1.5))
    assert (printer.across, printer.up, printer.skew) == (0.995, 1, 0)
    assert figures.tape.division == pytest.approx(25.4 / 32)
    assert figures.rack[0].sheet == pytest.approx((48 * 25.4, 96 * 25.4))


def test_every_mistake_is_told_with_what_is_allowed_and_what_was_meant():
    text = GOOD.replace("process", "proces").replace('"60 lbf"', "60").replace("0.995", "0.9")
    told = mistakes(text)
    assert any("kerf[1].proces: no such key" in each and "'process'" in each for each in told)
    assert any("hands.push" in each and "needs its unit" in each for each in told)
    fitted = "printer[1].across: across it prints 10 % smaller; allowed: 3 %."
    assert any(fitted in each and "fitted to the page" in each for each in told)
    assert len(told) == 3


def test_a_figure_without_what_it_was_measured_on_is_refused():
    text = GOOD.replace('measured_on = "coupon of 3 March"\n', "")
    assert mistakes(text) == [
        "shop.toml: kerf[1].measured_on: missing: what it was measured on, and when"
    ]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('allowance   = "0.51"', 'allowance   = "0.9"', "would mean k = "),
        ('allowance   = "0.51"', "", "give k or the allowance"),
        ('radius      = "1/4"', "", 'a trial bend made by "brake" needs its radius'),
        ('way         = "brake"', 'way = "score"', "has no use with"),
        ('groove      = "0.08"', 'groove = "0.03"', "cannot be narrower than the wheel"),
        ('file = "nest-1-left.toml"', 'size = "10 x 20"', "give size, material and thickness"),
        ('file = "nest-1-left.toml"', 'file = "a.toml"\nsize = "10 x 20"', "leave them out here"),
        ("[[printer]]", "[printer]", "in double brackets"),
    ],
)
def test_figures_that_cannot_be_together_are_refused(old, new, words):
    assert words in "\n".join(mistakes(GOOD.replace(old, new)))


def test_another_sort_of_file_is_refused_by_its_name():
    assert "this is a bracket file" in mistakes('kind = "zee"')[0]
    assert "this is a setup file" in mistakes("[travel]")[0]


# --- which file it is -------------------------------------------------------------------------


def test_the_file_beside_a_bracket_is_read_unless_another_or_none_is_asked_for(tmp_path):
    bracket, other = tmp_path / "seat.toml", tmp_path / "other.toml"
    assert shop_for(bracket, "beside") is NO_SHOP
    (tmp_path / "shop.toml").write_text(GOOD)
    other.write_text('units = "mm"')
    assert shop_for(bracket, "beside").figures.kerf
    assert shop_for(bracket, other).figures.kerf == ()
    assert shop_for(bracket, None) is NO_SHOP
    with pytest.raises(FileError, match="no such file"):
        shop_for(bracket, tmp_path / "nowhere.toml")


def test_a_bracket_that_is_called_shop_is_no_shop_file(tmp_path):
    (tmp_path / "shop.toml").write_text('kind = "zee"')
    assert shop_for(tmp_path / "seat.toml", "beside") is NO_SHOP
    assert shop_for(tmp_path / "shop.toml", "beside") is NO_SHOP


# --- adding to it -----------------------------------------------------------------------------

KERF = {"thickness": 4.7625, "process": "plasma", "kerf": 1.5748, "measured_on": "coupon, 3 March"}


def test_a_file_that_is_not_there_is_made(tmp_path):
    path = tmp_path / "shop.toml"
    add_table(path, "kerf", [KERF, {**KERF, "thickness": 6.0}], "mm")
    shop = load_shop(path)
    assert shop.unit == "mm"
    assert [(each.thickness, each.kerf) for each in shop.figures.kerf] == [
        (4.763, 1.575),
        (6.0, 1.575),
    ]


def test_words_that_cannot_stand_in_a_file_are_told_by_their_key(tmp_path):
    with pytest.raises(FileError, match=r"kerf\[1\].measured_on: should be at most 200 printable"):
        add_table(tmp_path / "shop.toml", "kerf", [{**KERF, "measured_on": "a\nb\x7f"}], "mm")


@pytest.mark.parametrize("ending", ["", "\n", "\n\n", "\n# a remark without an end"])
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_nothing_else_in_the_file_is_touched_and_its_unit_is_kept(tmp_path, ending, newline):
    path = tmp_path / "shop.toml"
    before = f"\ufeff# ours\nunits='in'\n[tape]\ndivision = '1/32'   # yellow one{ending}"
    path.write_bytes(before.replace("\n", newline).encode())
    path.chmod(0o640)
    old = path.read_bytes()
    added = add_table(path, "kerf", [KERF], "mm")
    new = path.read_bytes()
    assert new.startswith(old)
    assert new.decode().endswith(added)
    assert (b"\n" in new.replace(b"\r\n", b"")) == (newline == "\n")
    assert 'kerf        = "0.062 in"' in added
    assert 'thickness   = "3/16 in"' in added
    assert load_shop(path).figures.kerf[0].kerf == pytest.approx(1.5748)
    assert path.stat().st_mode & 0o777 == 0o640
    assert os.listdir(tmp_path) == ["shop.toml"]


def test_angles_and_factors_are_written_as_a_file_has_them(tmp_path):
    path = tmp_path / "shop.toml"
    page = {"across": 0.9951, "up": 1.0, "skew": math.radians(-0.2), "measured_on": "page"}
    add_table(path, "printer", [page])
    add_table(path, "hands", [{"push": 250.0}])
    figures = load_shop(path).figures
    assert figures.printer[0].across == 0.9951
    assert figures.printer[0].skew == pytest.approx(math.radians(-0.2))
    assert figures.hands.push == pytest.approx(250, rel=1e-3)


@pytest.mark.parametrize(
    "spoilt",
    ['units = "in', "", 'units = "in"\nkerf = []', 'units = "in"\nkref = 1', 'kind = "seat"'],
)
def test_a_file_that_does_not_read_is_left_as_it_is(tmp_path, spoilt):
    path = tmp_path / "shop.toml"
    path.write_text(spoilt)
    with pytest.raises(FileError, match=r"shop\.toml"):
        add_table(path, "kerf", [KERF])
    assert path.read_text() == spoilt


def test_rows_that_would_not_read_are_refused(tmp_path):
    path = tmp_path / "shop.toml"
    path.write_text(GOOD)
    with pytest.raises(FileError, match=r"kerf\[2\]\.kerf: too large"):
        add_table(path, "kerf", [{**KERF, "kerf": 100.0}])
    with pytest.raises(FileError, match="stands twice"):
        add_table(path, "hands", [{"push": 250.0}])
    assert path.read_text() == GOOD


def test_a_link_stays_a_link_and_a_folder_is_refused(tmp_path):
    real = tmp_path / "real.toml"
    real.write_text(GOOD)
    link = tmp_path / "shop.toml"
    link.symlink_to(real)
    add_table(link, "kerf", [KERF])
    assert link.is_symlink()
    assert len(load_shop(real).figures.kerf) == 2
    with pytest.raises((FileError, OutputError), match="folder"):
        add_table(tmp_path, "kerf", [KERF])


def test_a_write_protected_file_is_left_as_it_is(tmp_path):
    path, link = tmp_path / "real.toml", tmp_path / "shop.toml"
    path.write_text(GOOD)
    path.chmod(0o444)
    link.symlink_to(path)
    for each in (path, link):
        with pytest.raises(OutputError, match="write-protected"):
            add_table(each, "kerf", [KERF])
    assert path.read_text() == GOOD


def test_what_is_added_leaves_a_file_that_can_be_read(tmp_path):
    path = tmp_path / "shop.toml"
    path.write_text(GOOD + "#" * (LARGEST_FILE - len(GOOD)))
    load_shop(path)
    with pytest.raises(FileError, match="would be larger than 500 kB"):
        add_table(path, "kerf", [KERF])
    assert path.stat().st_size == LARGEST_FILE


def test_a_readings_file_is_called_one():
    with pytest.raises(FileError, match="this is a readings file, not the shop's own figures"):
        read_shop('part = "stay"\nmade_of = "plate"\n[flat]\n', "stay-readings.toml")
    with pytest.raises(FileError, match="this is a readings file"):
        read_setup('part = "stay"\nmade_of = "plate"\n[flat]\n', "stay-readings.toml")
