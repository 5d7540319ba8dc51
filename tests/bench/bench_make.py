"""How long the command takes, in one table: medians of processor time beside their floors, ms.

`python tests/bench/bench_make.py [PATTERN ...]`; without patterns, all of them. A script, not a
test.
`--help` and `check` stand beside a process that imports click, and what `check` imports, alone. The
floor of `make` is a process that imports the libraries that the run itself imports and writes as
many DXF entities, PDF pages (with as many path and text operators) and SVG elements as the real
outputs hold, and does nothing else. Processes find their modules compiled, as installed ones are.
Warm figures are of one process that has read the file before and forgotten what it worked out:
`live` is what follows a change of one number (file, bracket, blank, mock-up, dimensions, findings),
`findings` the findings alone, `warm make` all that `make` does but writing. Of several patterns the
last row is all of them in one call: what its processes take together. Each column has its aim below
it.
"""

from __future__ import annotations

import argparse
import gc
import json
import os
import re
import resource
import statistics
import subprocess
import sys
import tempfile
import time
import zlib
from functools import _lru_cache_wrapper
from pathlib import Path

ROOT = Path(__file__).parents[2]
RUNS = 7
WARM = 5

AIMS = {
    "check": "250",
    "ratio": "1.4",
    "live": "100",
    "findings": "60",
    "warm make": "250",
}

FLOOR = """
import io, json, sys
import ezdxf
from reportlab.pdfgen.canvas import Canvas
entities, pages, lines, texts, elements, libraries = json.loads(sys.argv[1])
for name in libraries:
    __import__(name)
document = ezdxf.new("R2010", setup=False)
space = document.modelspace()
for i in range(entities):
    space.add_lwpolyline([(i, 0), (i, 1), (i + 1, 1)])
stream = io.StringIO(); document.write(stream)
open(sys.argv[2] + "/floor.dxf", "w").write(stream.getvalue())
for name, count in enumerate(pages):
    canvas = Canvas(sys.argv[2] + f"/{name}.pdf", pageCompression=1)
    share = sum(pages)
    for _ in range(count):
        for i in range(lines // share):
            canvas.line(i, 0, i, 10)
        for i in range(texts // share):
            canvas.drawString(i, 20, "3 3/16 strong")
        canvas.showPage()
    canvas.save()
with open(sys.argv[2] + "/floor.svg", "w") as svg:
    for i in range(elements):
        svg.write(f'<path d="M {i:.3f} 0 L {i:.3f} 10"/>')
"""

PROBE = """
import json, sys
from platewright.__main__ import main
try:
    main()
except SystemExit:
    pass
used = [name for name in ("click", "ezdxf", "numpy", "reportlab", "shapely") if name in sys.modules]
print("USED", json.dumps(used))
"""


def run(command: list[str], compiled: str) -> str:
    """What one whole process prints; its modules are kept compiled in a folder."""
    given = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    environment = {**given, "PYTHONPYCACHEPREFIX": compiled}
    done = subprocess.run(
        command, check=True, capture_output=True, cwd=ROOT, env=environment, text=True
    )
    return done.stdout


def timed(command: list[str], compiled: str) -> float:
    """Processor time of one whole process, ms."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    run(command, compiled)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    spent = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return spent * 1e3


def size_of(folder: Path) -> tuple[int, list[int], int, int, int]:
    """(DXF entities, pages of each PDF, path and text operators, SVG elements) of real outputs."""
    import ezdxf

    entities = sum(len(ezdxf.readfile(dxf).modelspace()) for dxf in folder.glob("*.dxf"))
    pages, lines, texts = [], 0, 0
    for pdf in sorted(folder.glob("*.pdf")):
        data = pdf.read_bytes()
        pages.append(len(re.findall(rb"/Type /Page\b", data)))
        for stream in re.findall(rb"stream\r?\n(.*?)endstream", data, re.DOTALL):
            lines += len(re.findall(rb" [lc]\b", inflated(stream)))
            texts += len(re.findall(rb"\bTj\b", inflated(stream)))
    elements = sum(svg.read_text(encoding="utf-8").count("<") for svg in folder.glob("*.svg"))
    return entities, pages, lines, texts, elements


def inflated(stream: bytes) -> bytes:
    """A content stream in the clear (ASCII 85 and zlib undone where used)."""
    import base64

    body = stream.strip()
    if body.endswith(b"~>"):
        body = base64.a85decode(body[:-2])
    try:
        return zlib.decompress(body)
    except zlib.error:
        return b""


def together(commands: dict[str, list[str]], compiled: str) -> dict[str, float]:
    """The median of each, in turns so that all see the same machine."""
    for command in commands.values():
        run(command, compiled)
    rounds = [{n: timed(c, compiled) for n, c in commands.items()} for _ in range(RUNS)]
    return {name: statistics.median(each[name] for each in rounds) for name in commands}


def imports(libraries: list[str]) -> list[str]:
    """A process that imports libraries and does nothing else."""
    return [sys.executable, "-c", f"import {', '.join(libraries)}"]


def whole_process(patterns: list[Path]) -> dict[str, float]:
    """`check` and `make` as processes, each beside its floor, and `make` in floors."""
    with (
        tempfile.TemporaryDirectory() as real,
        tempfile.TemporaryDirectory() as bare,
        tempfile.TemporaryDirectory() as compiled,
    ):
        command = [sys.executable, "-m", "platewright"]
        check = ["check", *map(str, patterns)]
        make = ["make", *map(str, patterns), "--out", real]
        used = {
            arguments[0]: json.loads(
                run([sys.executable, "-c", PROBE, *arguments], compiled).rpartition("USED ")[2]
            )
            for arguments in (check, make)
        }
        size = json.dumps([*size_of(Path(real)), used["make"]])
        took = together(
            {
                "check": [*command, *check],
                "its floor": imports(used["check"]),
                "make": [*command, *make],
                "floor": [sys.executable, "-c", FLOOR, size, bare],
            },
            compiled,
        )
    return took | {"ratio": took["make"] / took["floor"]}


def warm(pattern: Path) -> dict[str, float]:
    """What follows a change, and all that `make` does, worked out anew of a file read before."""
    from platewright.files.reader import load_all
    from platewright.measuring.dimensions import dimensions_of
    from platewright.product import MakeOptions, make_parts

    rounds = []
    for _ in range(WARM + 1):
        for each in gc.get_objects():
            if isinstance(each, _lru_cache_wrapper) and each.__module__.startswith("platewright"):
                each.cache_clear()
        gc.collect()
        ticks = [time.process_time()]
        jobs = load_all([pattern])
        parts = jobs[0].parts
        for part in parts:
            _ = [dimensions_of(piece) for piece in part.pieces], part.mock_ups
        ticks.append(time.process_time())
        for part in parts:
            _ = part.judgements
        ticks.append(time.process_time())
        make_parts(jobs, MakeOptions(), lambda _line: None)
        ticks.append(time.process_time())
        rounds.append([(tick - ticks[0]) * 1e3 for tick in ticks])
    rounds = rounds[1:]
    return {
        "live": statistics.median(judged for _, _, judged, _ in rounds),
        "findings": statistics.median(judged - told for _, told, judged, _ in rounds),
        "warm make": statistics.median(made for *_, made in rounds),
    }


def vertices(pattern: Path) -> None:
    """Segments in the torch path against a polygonised offset of the same outlines."""
    from platewright.files.reader import load_job
    from platewright.geometry.contour import Contour

    ours, theirs = 0, 0
    for part in load_job(pattern).parts:
        half = part.common.cutting.kerf / 2
        for piece, plan in zip(part.pieces, part.plans, strict=True):
            ours += sum(
                len(c.path.segments) if isinstance(c.path, Contour) else 1 for c in plan.cuts
            )
            theirs += polygonised(piece.blank.outline, half)
            theirs += sum(polygonised(hole.circle, -half) for hole in piece.blank.cut_holes)
            theirs += sum(polygonised(each.contour, -half) for each in piece.blank.cutouts)
    print(f"{pattern.stem}: torch path of {ours} segments, polygonised at 0.01 mm {theirs}")


def polygonised(outline, distance: float) -> int:
    """Vertices of a buffered polygon whose arcs are true to 0.01 mm."""
    from shapely import Polygon

    points = [(p.x, p.y) for p in outline.flatten(0.01)]
    return len(Polygon(points).buffer(distance, quad_segs=16).exterior.coords) - 1


def table(patterns: list[Path]) -> None:
    """One row for each pattern, and one for all of them in one call."""
    gc.set_threshold(200_000, 50, 50)  # as the command does
    with tempfile.TemporaryDirectory() as compiled:
        help_ = [sys.executable, "-m", "platewright", "--help"]
        took = together({"--help": help_, "click alone": imports(["click"])}, compiled)
    heads = ("--help", "click alone", "check", "its floor", "make", "floor", "ratio")
    heads = (*heads, "live", "findings", "warm make")
    print(f"{'processor time, ms':20}" + "".join(f"{head:>12}" for head in heads))

    def row(name: str, figures: dict[str, float]) -> None:
        cells = (f"{figures[h]:.{2 * (h == 'ratio')}f}" if h in figures else "" for h in heads)
        print(f"{name:20}" + "".join(f"{cell:>12}" for cell in cells), flush=True)

    row("any", took)
    for pattern in patterns:
        row(pattern.stem, {**whole_process([pattern]), **warm(pattern)})
    if patterns[1:]:
        took = whole_process(patterns)
        del took["ratio"]  # its aim is for one file: a floor loads the libraries once for all
        row(f"{len(patterns)} in one call", took)
    print(f"{'aims, at most':20}" + "".join(f"{AIMS.get(head, ''):>12}" for head in heads))


if __name__ == "__main__":
    told = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    told.add_argument("patterns", nargs="*", type=Path, metavar="PATTERN", help="a bracket file")
    chosen = [path.resolve() for path in told.parse_args().patterns]
    if missing := [str(path) for path in chosen if not path.is_file()]:
        told.error(f"no such file: {', '.join(missing)}")
    everything = sorted(ROOT.glob("patterns/*.toml"))
    chosen = chosen or [path for path in everything if not path.stem.startswith("travel-")]
    table(chosen)
    for path in chosen:
        vertices(path)
