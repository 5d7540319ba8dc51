"""The end of a starter file: what a file may hold besides, each table good as it stands."""

from __future__ import annotations

import re
import tomllib
from functools import cache

import pytest

from platewright.files.reader import read_job
from platewright.files.starter import own_starter, starter
from platewright.kinds.kind import catalogue
from platewright.kinds.making import Extras
from platewright.measure import fields_of

TABLES = [name for name, _ in fields_of(Extras)]
KINDS = list(catalogue())
#: No panel of a clevis has a corner between two free straight edges.
NO_CORNER = ("clevis", "corner")


@cache
def own_of(kind: str, unit: str) -> str:
    return own_starter(catalogue()[kind], unit)


def shown(kind: str, unit: str) -> dict[str, str]:
    """Each table of a starter's end as a file has it once the # is taken away."""
    end = starter(catalogue()[kind], unit).removeprefix(own_of(kind, unit))
    blocks = re.split(r"^# --- ", end, flags=re.MULTILINE)
    live = ["\n".join(re.findall(r"^#(\S.*)$", block, re.MULTILINE)) for block in blocks]
    return {re.match(r"\[\[(\w+)", block)[1]: block for block in live if block.startswith("[[")}


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("kind", KINDS)
def test_every_table_is_good_as_it_stands(kind, unit):
    tables = shown(kind, unit)
    assert list(tables) == [name for name in TABLES if (kind, name) != NO_CORNER]
    own = own_of(kind, unit)
    plain = read_job(own, "mine.toml", catalogue()).parts[0].bracket
    for table in tables.values():
        (part,) = read_job(f"{own}\n{table}\n", "mine.toml", catalogue()).parts
        assert part.bracket.root != plain.root


@pytest.mark.parametrize("kind", KINDS)
def test_every_panel_and_edge_of_the_bracket_is_named(kind):
    text = starter(catalogue()[kind], "in")
    (part,) = read_job(text, "mine.toml", catalogue()).parts
    named = " ".join(re.findall(r"^#    (.*)$", text.split("--- More that")[1], re.MULTILINE))
    for panel in part.bracket.root.walk():
        assert re.search(rf"\b{panel.name}\b[^:]*: {', '.join(n for n, _ in panel.edges)}", named)


@pytest.mark.parametrize("kind", ["seat", "panels"])
def test_every_key_is_told_and_none_is_read(kind):
    text = starter(catalogue()[kind], "in")
    end = text.split("--- More that")[1]
    for _, measure in fields_of(Extras):
        for key, _ in fields_of(measure.inside):
            assert re.search(rf"\b{key}\b", end)
    assert tomllib.loads(text).keys().isdisjoint(TABLES)
