"""What is measured on the flat blank, on the patterns that need it."""

from functools import cache
from pathlib import Path

import pytest

from platewright.files.job import worked_out
from platewright.files.reader import load_all
from platewright.measuring.dimensions import dimensions_of
from platewright.sheets.rows import flat_rows, folded_rows

PATTERNS = Path(__file__).parents[3] / "patterns"


@cache
def piece_of(name):
    (part,) = worked_out(load_all([PATTERNS / f"{name}.toml"]))
    return part.pieces[0]


def test_a_strip_with_many_bends_is_measured_from_one_end():
    piece = piece_of("tank-strap")
    running = [row for row in flat_rows(piece).rows if row.words.startswith("end of left ear to")]
    assert len(running) == len(piece.blank.bends) == 14
    assert [row.value for row in running] == sorted(row.value for row in running)
    assert {row.letters.split(" to ")[0] for row in running} == {running[0].letters[0]}


def test_alike_rows_share_a_line_with_a_count():
    (row,) = (row for row in flat_rows(piece_of("tank-strap")).rows if "alike" in row.words)
    # twelve small bends have eleven facets between them, all of one length
    assert row.words == "bend 1 line to bend 2 line, square: 11 alike"
    assert len(row.told) == 11


def test_a_scribed_edge_is_measured_from_the_bolts_at_three_stations():
    piece = piece_of("spring-seat-fitted")
    rows = [row for row in flat_rows(piece).rows if " to wall edge, " in row.words]
    assert [row.critical for row in rows] == [True] * 3
    places = [row.ends[1].at for row in rows]
    outline = piece.blank.outline
    assert max(outline.distance(at) for at in places) < 1e-6
    for row in rows:
        assert row.value == pytest.approx(row.ends[0].at.distance(row.ends[1].at))
    assert not any("original" in row.words for row in flat_rows(piece).rows)


@pytest.mark.parametrize("name", ["hose-guide", "valve-plate", "winch-angle", "sensor-steps"])
def test_no_row_runs_to_a_tangent_line(name):
    piece = piece_of(name)
    tangents = [line for bend in piece.blank.bends for line in (bend.near, bend.far)]
    for row in flat_rows(piece).rows:
        for end in row.ends:
            assert all(line.distance(end.at) > 1e-3 for line in tangents)


@pytest.mark.parametrize(
    ("name", "words", "value"),
    [
        # told before as 2 5/16 in, 48.3 mm and 31.8 mm, where the round ends begin
        ("damper-clevis", "height over all: right ear tip", 3.0 * 25.4),
        ("damper-clevis", "height over all: left ear tip", 3.0 * 25.4),
        ("hose-guide", "height over all: left finger tip", 61.0),
        ("valve-plate", "height over all: shield tip", 38.7),
    ],
)
def test_the_height_over_all_of_a_round_end_is_that_of_its_top(name, words, value):
    (row,) = (row for row in folded_rows(piece_of(name)).rows if row.words.startswith(words))
    assert row.value == pytest.approx(value, abs=0.05)


def test_the_size_of_the_folded_part_is_told():
    words = [row.words for row in folded_rows(piece_of("spring-seat")).rows]
    assert any(each.startswith("over all, left to right") for each in words)
    assert any(each.startswith("over all, square to the plate") for each in words)


@pytest.mark.parametrize("name", ["spring-seat", "damper-clevis", "cross-channel", "sensor-steps"])
def test_of_two_names_for_a_distance_the_file_s_own_is_kept(name):
    piece = piece_of(name)
    kept = {each.told_on_blank for each in dimensions_of(piece)} - {None}
    keyed = [each for each in dimensions_of(piece) if each.dimension.key and each.on_blank]
    assert keyed
    for each in keyed:
        teller = next(k for k in kept if k == each.told_on_blank)
        assert teller.key or teller.critical


def test_across_the_bends_of_a_strap_that_will_be_rolled_nothing_is_measured():
    # folded, its ears stand 298.9 mm over all; pulled round the tank 264 + 2 * 18 mm as asked
    words = [row.words for row in folded_rows(piece_of("tank-strap")).rows]
    assert not any("left ear tip" in each and "right ear tip" in each for each in words)
    assert not any(each.startswith("over all") for each in words)
    assert any(each.startswith("height: right ear tip") for each in words)
