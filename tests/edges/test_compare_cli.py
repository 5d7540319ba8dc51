"""`compare` from files to words and drawings."""

from __future__ import annotations

import json

import ezdxf
import pypdfium2
import pytest
from click.testing import CliRunner

from platewright.cli.root import root

SEAT = """
kind = "seat"
name = "seat"
units = "in"
plate_diameter = "5"
body_diameter = "6 1/2"
wall_gap = "1"
bolts = { count = 2, spacing = "2 3/4" }
left = { reach = "6", depth = "3 1/2" }
right = { reach = "4 1/2", depth = "2 1/2", direction = "up" }
stock = { thickness = "3/16", material = "A36" }
bend = { way = "score", groove = "0.11", ligament = "3/64" }
"""


def run(*args):
    return CliRunner().invoke(root, ["compare", *(str(arg) for arg in args)])


@pytest.fixture(autouse=True)
def _in_a_folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "old.toml").write_text(SEAT)


def compared(tmp_path, *swaps, extra=""):
    text = SEAT
    for old, new in swaps:
        assert old in text
        text = text.replace(old, new)
    (tmp_path / "new.toml").write_text(text + extra)
    done = run("old.toml", "new.toml", "--json")
    assert done.exit_code == 0, done.output
    (part,) = json.loads(done.output)["parts"]
    return part, run("old.toml", "new.toml").output


def outcomes(part):
    return {stage: told["outcome"] for stage, told in part["old_part"].items()}


def test_a_file_is_like_itself(tmp_path):
    part, told = compared(tmp_path)
    assert part["unchanged"]
    assert told == "seat\n  nothing changed\n"


def test_a_shorter_gusset_is_trimmed(tmp_path):
    part, told = compared(tmp_path, ('reach = "6"', 'reach = "5 1/2"'))
    assert part["measurements"] == [
        {
            "key": "left.reach",
            "words": "gusset reach",
            "critical": False,
            "old": "6 in",
            "new": "5 1/2 in",
            "fit_critical": False,
        }
    ]
    assert "left.reach: 6 in -> 5 1/2 in" in told
    assert "left gusset: nose moves in 1/2 in" in told
    assert set(outcomes(part).values()) == {"trim"}
    assert "A part that is cut flat, scored or bent can be trimmed: take off" in told


def test_a_gusset_turned_up_spares_a_part_that_is_cut_flat(tmp_path):
    part, told = compared(
        tmp_path, ('left = { reach = "6",', 'left = { direction = "up", reach = "6",')
    )
    assert outcomes(part) == {"cut": "as it is", "scored": "cut again", "bent": "cut again"}
    assert "folds up, not down: the groove belongs on the underside face now" in told


def test_another_fold_is_bent_anew(tmp_path):
    part, _ = compared(
        tmp_path,
        ('left = { reach = "6",', 'left = { fold = 88, reach = "6",'),
    )
    (bend,) = part["bends"]
    assert (bend["old"]["angle_deg"], bend["new"]["angle_deg"]) == (90, 88)


def test_an_eighth_off_the_wall_edge_brings_the_holes_nearer(tmp_path):
    part, told = compared(tmp_path, extra='[[trim]]\nedge = "wall edge"\nby = "1/8"\n')
    assert set(outcomes(part).values()) == {"trim"}
    assert "plate: wall edge moves in 1/8 in" in told
    assert "bolt hole 1 to wall edge: 4 1/4 in -> 4 1/8 in *" in told
    (edge,) = part["edges"]
    assert edge["start_out_mm"] == pytest.approx(-3.175)


def test_a_diagonal_is_told_as_the_dxf_has_it(tmp_path):
    """Read back with ezdxf: the far ends of the two bend lines."""
    part, _ = compared(tmp_path, extra='[[trim]]\nedge = "wall edge"\nby = "1/8"\n')
    told = {each["what"]: each for each in part["checks"]}
    (diagonal,) = (each for what, each in told.items() if what.startswith("left wall corner"))
    for name, key in (("old", "old_mm"), ("new", "new_mm")):
        made = CliRunner().invoke(
            root, ["make", f"{name}.toml", "--pattern", "plate", "--out", name]
        )
        assert made.exit_code in (0, 1)
        model = ezdxf.readfile(tmp_path / name / "seat.dxf").modelspace()
        ends = [p for line in model.query('LINE[layer=="BEND-LINES"]')
                for p in (line.dxf.start, line.dxf.end)]  # fmt: skip
        left, right = (sorted(ends, key=lambda p: p.x)[at] for at in (slice(0, 2), slice(2, 4)))
        start, end = min(left, key=lambda p: p.y), max(right, key=lambda p: p.y)
        assert diagonal[key] == pytest.approx(start.distance(end) * 25.4)


SCRIBES = """
[[scribe]]
edge = "wall edge"
zero_at = "left side"
hold_off = "1"
joined = "smooth"
readings = [["1", "1"], ["2", "0.95"], ["3", "7/8"], ["5", "29/32"], ["6", "1"]]
"""

AGAIN = """
[[scribe]]
edge = "wall edge"
zero_at = "left side"
joined = "smooth"
readings = [["2", "0"], ["3", "-1/32"], ["5", "0"]]
"""


def test_a_second_scribe_that_only_takes_is_trimmed(tmp_path):
    (tmp_path / "old.toml").write_text(SEAT + SCRIBES)
    part, told = compared(tmp_path, extra=SCRIBES + AGAIN)
    assert part["added"] == []
    assert set(outcomes(part).values()) == {"trim"}
    assert "metal added" not in told


def test_bolts_that_move_are_cut_again(tmp_path):
    part, _ = compared(tmp_path, ('"2 3/4"', '"3"'))
    assert set(outcomes(part).values()) == {"cut again"}
    assert [each["what"] for each in part["holes"]] == ["bolt hole 1", "bolt hole 2"]
    assert part["holes"][0]["moved_mm"] == pytest.approx([3.175, 0.0])


def test_another_plate_is_told(tmp_path):
    part, told = compared(tmp_path, ("3/16", "1/4"))
    assert "stock.thickness: 3/16 in -> 1/4 in" in told
    assert outcomes(part)["cut"] == "cut again"


def test_the_words_are_in_the_new_files_unit(tmp_path):
    _, told = compared(tmp_path, ('units = "in"', 'units = "mm"'), ('"5"', '"5 in"'),
                       ('"6 1/2"', '"6 1/2 in"'), ('"1"', '"1 in"'), ('"2 3/4"', '"2 3/4 in"'),
                       ('reach = "6"', 'reach = "150"'), ('"3 1/2"', '"3 1/2 in"'),
                       ('"4 1/2"', '"4 1/2 in"'), ('"2 1/2"', '"2 1/2 in"'),
                       ('"3/16"', '"3/16 in"'), ('"0.11"', '"0.11 in"'),
                       ('"3/64"', '"3/64 in"'))  # fmt: skip
    assert "left.reach: 152.4 mm -> 150.0 mm" in told


def test_other_kinds_are_still_compared_as_metal(tmp_path):
    (tmp_path / "zee.toml").write_text(
        'kind = "zee"\nunits = "in"\nmeasured_to = "outside"\nweb = 2\nleft_flange = 2\n'
        "right_flange = 2\nwidth = 4\n"
        'stock = { thickness = "3/16", material = "A36" }\n'
        'bend = { way = "score", groove = "0.11" }\n'
    )
    told = run("old.toml", "zee.toml")
    assert told.exit_code == 0
    assert "kind: seat -> zee" in told.output
    assert "must be cut again" in told.output


def test_parts_are_matched_by_name(tmp_path):
    shared, part = (
        SEAT.split("plate_diameter")[0],
        "plate_diameter" + SEAT.split("plate_diameter")[1],
    )
    shared = shared.replace('kind = "seat"\nname = "seat"\n', "")
    stock = part[part.index("stock") :]
    body = part[: part.index("stock")]
    both = [f'[[part]]\nname = "{name}"\nkind = "seat"\n{body}' for name in ("one", "two")]
    (tmp_path / "a.toml").write_text(shared + stock + "".join(both))
    (tmp_path / "b.toml").write_text(
        shared + stock + both[1].replace('"6 1/2"', '"6"') + both[0].replace('"one"', '"three"')
    )
    done = json.loads(run("a.toml", "b.toml", "--json").output)
    assert [each["new"] for each in done["parts"]] == ["two"]
    assert (done["only_old"], done["only_new"]) == (["one"], ["three"])
    assert "one: only in the old file" in run("a.toml", "b.toml").output


def test_the_drawing_is_written_when_asked_and_tells_the_same(tmp_path):
    _, told = compared(tmp_path, ('depth = "3 1/2"', 'depth = "3"'))
    done = run("old.toml", "new.toml", "--out", "out")
    assert done.output == told + "wrote out/seat-changes.pdf\n"
    pdf = pypdfium2.PdfDocument(tmp_path / "out" / "seat-changes.pdf")
    text = " ".join(page.get_textpage().get_text_range() for page in pdf).replace("\r\n", " ")
    assert "left gusset: far edge moves in 1/2 in" in text
    assert "can be trimmed" in text
    assert "greatest gusset depth" in text


def test_nothing_is_drawn_of_what_did_not_change(tmp_path):
    assert run("old.toml", "old.toml", "--out", "out").exit_code == 0
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(("args", "words"), [(("old.toml", "gone.toml"), "no such file")])
def test_a_file_that_cannot_be_read_is_refused(args, words):
    done = run(*args)
    assert done.exit_code == 2
    assert words in done.output


def test_mistakes_of_both_files_are_told_at_once(tmp_path):
    for name in ("old.toml", "new.toml"):
        (tmp_path / name).write_text("", encoding="utf-8")
    done = CliRunner().invoke(
        root, ["compare", str(tmp_path / "old.toml"), str(tmp_path / "new.toml")]
    )
    assert done.exit_code == 2
    assert "old.toml: kind: missing" in done.stderr
    assert "new.toml: kind: missing" in done.stderr


def test_somebody_elses_file_is_left_alone(tmp_path):
    compared(tmp_path, ('depth = "3 1/2"', 'depth = "3"'))
    (tmp_path / "seat-changes.pdf").write_text("mine")
    assert run("old.toml", "new.toml", "--out", ".").exit_code == 2
    assert (tmp_path / "seat-changes.pdf").read_text() == "mine"
