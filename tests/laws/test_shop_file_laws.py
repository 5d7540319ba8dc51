"""The shop file: whatever a bracket file says wins, and the shop's figure arrives to the bit."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from platewright.errors import FileError
from platewright.files.reader import read_job
from platewright.files.shop_file import THICKNESS_SHARE, add_table, load_shop, read_shop
from platewright.kinds.kind import catalogue

KINDS = catalogue()
UNITS = st.sampled_from(("in", "mm"))

PART = """
kind = "zee"
units = "{unit}"
width = "100 mm"
web = "80 mm"
left_flange = "60 mm"
right_flange = "60 mm"
measured_to = "outside"
[stock]
thickness = "{thickness!r} mm"
material = "A36"
"""


def mm(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False)


@st.composite
def figures(draw: st.DrawFn) -> dict[str, dict[str, float]]:
    """Figures of a file or of a shop, by section and key, in inner units."""
    groove = draw(mm(2, 4))
    return {
        "cutting": {"kerf": draw(mm(0.2, 3)), "hole_kerf": draw(mm(0.2, 3))},
        "brake": {"radius": draw(mm(5, 5.2)), "k": draw(mm(0.2, 0.5))},
        "score": {
            "groove": groove,
            "ligament": draw(mm(0.5, 1.5)),
            "wheel": draw(mm(0.5, 0.54)),
        },
        "limits": {"push": draw(mm(100, 400)), "lever": draw(mm(100, 400))},
    }


def written(key: str, value: float) -> str:
    if key == "k":
        return repr(value)
    return f'"{value!r} {"N" if key == "push" else "mm"}"'


def table(head: str, values: dict[str, float], *more: str) -> str:
    lines = (f"{key} = {written(key, value)}" for key, value in values.items())
    return "\n".join((head, *more, *lines, ""))


def shop_text(unit: str, thickness: float, has: dict[str, dict[str, float]]) -> str:
    of = (f'thickness = "{thickness!r} mm"', 'measured_on = "a coupon"')
    kerf = {"kerf": has["cutting"]["kerf"], "holes": has["cutting"]["hole_kerf"]}
    bends = (
        table("[[bend]]", has[way], *of, f'way = "{way}"', 'material = "A36"')
        for way in ("brake", "score")
    )
    head = f'units = "{unit}"\n{table("[hands]", has["limits"])}'
    return "\n".join((head, table("[[kerf]]", kerf, *of), *bends))


@given(
    file=figures(),
    shop=figures(),
    way=st.sampled_from(("brake", "score")),
    units=st.tuples(UNITS, UNITS),
    thickness=mm(4, 6),
    data=st.data(),
)
def test_the_file_wins_and_the_shop_s_figure_arrives_to_the_bit(
    file, shop, way, units, thickness, data
):
    sections = {"cutting": "cutting", "bend": way, "limits": "limits"}
    if way == "score":
        shop["score"]["groove"] = file["score"]["groove"] * 1.05  # near enough to serve it
    given_keys = {
        (section, key)
        for section, of in sections.items()
        for key in file[of]
        if data.draw(st.booleans(), label=f"{section}.{key}")
    }
    if way == "score" and ("bend", "wheel") in given_keys:
        file["score"]["wheel"] = min(file["score"]["wheel"], shop["score"]["wheel"] + 0.04)
    text = PART.format(unit=units[0], thickness=thickness)
    for section, of in sections.items():
        own = {key: value for key, value in file[of].items() if (section, key) in given_keys}
        text += table(f"[{section}]", own, *([f'way = "{way}"'] if section == "bend" else []))
    known = read_shop(shop_text(units[1], thickness, shop), "shop.toml")
    (part,) = read_job(text, "part.toml", KINDS, shop=known).parts
    sources = {figure.key: figure.source for figure in part.figures}
    for section, of in sections.items():
        for key in file[of]:
            value = getattr(getattr(part.common, section), key)
            if (section, key) in given_keys:
                expected, source = file[of][key], "file"
            elif key == "hole_kerf" and ("cutting", "kerf") in given_keys:
                expected, source = None, None  # a file's kerf is that of its holes as well
            else:
                expected, source = shop[of][key], "shop"
            assert value == expected, f"{section}.{key}"
            if way == "score" or section != "limits":
                assert sources.get(f"{section}.{key}") == source


@given(part=mm(1, 20), measured=mm(1, 20))
def test_a_kerf_serves_within_a_twentieth_of_the_plate_s_thickness_and_no_further(part, measured):
    text = PART.format(unit="mm", thickness=part) + '[bend]\nway = "brake"\nradius = 5\nk = 0.4\n'
    row = f'[[kerf]]\nthickness = {measured!r}\nkerf = 2.7\nmeasured_on = "a coupon"\n'
    known = read_shop(f'units = "mm"\n{row}', "shop.toml")
    (read,) = read_job(text, "part.toml", KINDS, shop=known).parts
    (kerf,) = (figure for figure in read.figures if figure.key == "cutting.kerf")
    assert (kerf.source == "shop") == (abs(measured - part) <= THICKNESS_SHARE * part + 1e-9)
    assert bool(kerf.note) == (kerf.source == "default")


REMARKS = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), max_size=30)


@given(
    remarks=st.lists(REMARKS, max_size=5),
    ending=st.sampled_from(("", "\n", "\n\n")),
    unit=UNITS,
    kerfs=st.lists(st.tuples(mm(0.5, 50), mm(0.01, 12.7)), min_size=1, max_size=4),
    words=REMARKS,
)
def test_what_is_added_reads_back_and_nothing_else_is_touched(remarks, ending, unit, kerfs, words):
    before = "\n".join((*(f"# {each}" for each in remarks), f'units = "{unit}"')) + ending
    rows = [{"thickness": t, "kerf": k, "measured_on": words} for t, k in kerfs]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "shop.toml")
        path.write_bytes(before.encode())
        for row in rows:
            add_table(path, "kerf", [row], "in")
        data = path.read_bytes()
        read = load_shop(path)
    assert data.startswith(before.encode())
    assert read.unit == unit
    for asked, row in zip(rows, read.figures.kerf, strict=True):
        # to 0.0001 in or 0.001 mm
        assert row.thickness == pytest.approx(asked["thickness"], abs=1.3e-3)
        assert row.kerf == pytest.approx(asked["kerf"], abs=1.3e-3)
        assert row.measured_on == words


@given(st.text(max_size=80) | st.binary(max_size=40).map(lambda b: b.decode("latin-1")))
def test_any_text_is_read_or_refused_in_words(text):
    told: list[str] = []
    for given_text in (text, f'units = "in"\n[[kerf]]\nkerf = "{text}"', f"[[bend]]\n{text}"):
        try:
            read_shop(given_text, "shop.toml")
        except FileError as error:
            told += [mistake.message for mistake in error.mistakes]
    assert all(told)
