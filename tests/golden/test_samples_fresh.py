"""The samples are what the patterns produce today.

Compared by what they say, not byte by byte: another release of a PDF or DXF library may compress or
head a file differently without changing the drawing.
"""

import io
import runpy
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[2] / "samples"


@pytest.fixture(scope="module")
def made() -> dict[str, bytes]:
    return runpy.run_path(str(SAMPLES / "remake.py"))["samples"]()


def test_no_sample_is_missing_or_left_over(made):
    kept = {p.name for p in SAMPLES.iterdir() if p.suffix in {".pdf", ".dxf", ".svg", ".toml"}}
    assert kept == set(made)


def test_every_sample_says_what_is_made_today(made):
    stale = [
        name
        for name, data in made.items()
        if (kept := (SAMPLES / name).read_bytes()) != data
        and essence(name, kept) != essence(name, data)
    ]
    assert not stale, "remake with: python samples/remake.py"


def essence(name: str, data: bytes) -> object:
    if name.endswith(".dxf"):
        return dxf_entities(data)
    return pdf_pages(data) if name.endswith(".pdf") else data


def dxf_entities(data: bytes) -> list[object]:
    import ezdxf

    document = ezdxf.read(io.StringIO(data.decode("cp1252").replace("\r\n", "\n")))
    return [
        (entity.dxftype(), entity.dxf.layer, entity_figures(entity))
        for entity in document.modelspace()
    ]


def entity_figures(entity) -> object:
    kind = entity.dxftype()
    if kind == "LWPOLYLINE":
        return [tuple(round(v, 7) for v in point) for point in entity.get_points("xyb")]
    if kind == "TEXT":
        return entity.dxf.text
    values = entity.dxfattribs(drop={"handle", "owner"})
    return sorted((key, rounded(value)) for key, value in values.items())


def rounded(value) -> str:
    if hasattr(value, "xyz"):
        return str([round(v, 7) + 0.0 for v in value.xyz])
    return str(round(value, 7)) if isinstance(value, float) else str(value)


def pdf_pages(data: bytes) -> list[object]:
    import pypdfium2

    pages = []
    with pypdfium2.PdfDocument(data) as pdf:
        for page in pdf:
            words = page.get_textpage().get_text_bounded()
            pages.append((page.get_size(), words, page.render(scale=0.7).to_numpy().tobytes()))
    return pages
