"""The rule of a port's pilots: would the port have room there, once it is decided?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from platewright.findings.case import Case
from platewright.findings.finding import Finding
from platewright.findings.holes import hole_edge_distance, hole_to_bend, hole_to_hole
from platewright.findings.room import fitting_against_bolts
from platewright.plate.blank import blank_of
from platewright.plate.bracket import Bracket

_LOOKS = (hole_edge_distance, hole_to_hole, hole_to_bend, fitting_against_bolts)


def pilot_without_room(case: Case) -> Iterator[Finding]:
    """What would be found of a port's pilot if it were the port: each pilot by itself."""
    for pilot in case.bracket.root.holes:
        if pilot.role == "port" and not pilot.cut:
            # the case with that pilot cut and the others left out
            holes = tuple(
                replace(hole, cut=True) if hole is pilot else hole
                for hole in case.bracket.root.holes
                if hole.cut or hole is pilot
            )
            bracket: Bracket = replace(case.bracket, root=replace(case.bracket.root, holes=holes))
            decided = Case(bracket, blank_of(bracket), case.context)
            for look in _LOOKS:
                for fault in look(decided):
                    if pilot.what in fault.place:
                        yield replace(fault, severity="note", change=_CHANGE)


_CHANGE = "no port fits there: take the other place, or move it"
