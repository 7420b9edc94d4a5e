"""The main roads of Lindenferry: the trunk road, the two high roads, and what joins them.

Traffic keeps left. A one-way line is drawn in its direction of travel.
"""

from __future__ import annotations

import math

from street import Street, street


def _arc(from_degrees: int, to_degrees: int, radius: float = 36.0) -> str:
    """Return a clockwise arc about the gyratory's middle as a line of the plan."""
    steps = range(from_degrees, to_degrees - 1, -15)
    middle = (300.0, 120.0)
    angles = [math.radians(step) for step in steps]
    return " ".join(
        f"{middle[0] + radius * math.cos(a):.2f},{middle[1] + radius * math.sin(a):.2f}"
        for a in angles
    )


def main_roads() -> list[Street]:
    """Return the lines of the main road network."""
    fast = "maxspeed=40 mph"
    ring = "junction=roundabout; oneway=yes; lanes=2"
    lanes = "cycleway:both=lane; cycleway:both:lane=advisory; cycleway:both:width=1.5"
    return [
        # the trunk road, two carriageways; eastbound is the northern one
        street("saltway-east", "Saltway", "trunk", "-2500,1709 -800,1669 300,1649 2500,1609"),
        street("saltway-west", "Saltway", "trunk", "2500,1587 300,1627 -800,1647 -2500,1687"),
        # the north-south high road
        street("northgate-top", "Northgate", "primary", "300,2000 300,1649", fast),
        street("northgate-gap", "Northgate", "primary", "300,1649 300,1627"),
        street(
            "northgate-upper",
            "Northgate",
            "primary",
            "300,1627 300,1000",
            "lanes=3; lanes:forward=1; lanes:backward=1; lanes:both_ways=1; "
            "turn:lanes:both_ways=right",
        ),
        street(
            "northgate-lower",
            "Northgate",
            "primary",
            "300,1000 300,156",
            "lanes=4; lanes:forward=2; lanes:backward=2; busway:left=lane; "
            "lanes:bus:forward=1; cycleway:left=share_busway",
            kind="bus lane",
            against="busy road",
        ),
        street("gyratory-east", "Dock Gyratory", "primary", _arc(90, -90), ring),
        street("gyratory-west", "Dock Gyratory", "primary", _arc(-90, -270), ring),
        street(
            "bridge-street",
            "Bridge Street",
            "primary",
            "300,84 300,-350",
            lanes,
            kind="painted lane",
        ),
        street(
            "lind-bridge",
            "Lind Bridge",
            "primary",
            "300,-350 300,-540",
            "bridge=yes; cycleway:right=separate; cycleway:left=no",
            layer=1,
        ),
        street("southgate", "Southgate", "primary", "300,-540 300,-1000"),
        street("southgate-hill", "Southgate", "primary", "300,-1000 350,-2000", fast),
        # Dock Road: a painted lane eastbound, and for part of the way a track mapped apart
        street("dock-road-mouth", "Dock Road", "secondary", "336,120 480,97"),
        street(
            "dock-road",
            "Dock Road",
            "secondary",
            "480,97 700,70 960,31",
            "cycleway:left=lane; cycleway:left:width=1.4; cycleway:right=separate",
            kind="painted lane",
            against="busy road",
        ),
        street(
            "dock-road-yards",
            "Dock Road",
            "secondary",
            "960,31 1300,-20 1700,-60 2500,-120",
            "maxspeed=40 mph; hgv=designated; cycleway:both=no",
        ),
        street("weir-road", "Weir Road", "secondary", "264,120 -400,170 -1100,110"),
        street(
            "weir-road-out",
            "Weir Road",
            "secondary",
            "-1100,110 -1800,190 -2500,250",
            "cycleway:both=no",
        ),
        street(
            "foundry-road",
            "Foundry Road",
            "primary",
            "300,1000 1300,960",
            "lanes=4; cycleway:left=separate; cycleway:right=no; bicycle=use_sidepath",
        ),
        street("foundry-road-out", "Foundry Road", "primary", "1300,960 2500,900", "lanes=4"),
        street("tannery-road", "Tannery Road", "secondary", "-2500,-1050 -900,-1020 300,-1000"),
        street("tannery-road-east", "Tannery Road", "secondary", "300,-1000 2500,-1100"),
        street("chapel-road", "Chapel Road", "tertiary", "-1100,110 -1100,1040"),
        street("chapel-road-top", "Chapel Road", "tertiary", "-1100,1040 -1150,1655 -1150,2000"),
        street("college-road", "College Road", "tertiary", "300,1000 -400,1020 -1100,1040"),
        street("college-road-out", "College Road", "tertiary", "-1100,1040 -2500,1100"),
        street("orchard-road", "Orchard Road", "tertiary", "1300,-20 1300,960"),
        street("orchard-hill", "Orchard Hill", "tertiary", "1300,960 1350,1628"),
        street(
            "lantern-street",
            "Lantern Street",
            "tertiary",
            "300,440 1300,430",
            "maxspeed=20 mph; embedded_rails=tram",
        ),
        street("kiln-road", "Kiln Road", "tertiary", "-900,-1020 -850,-2000"),
    ]
