"""Rides that belong to no route: short ways through what is hardest to read off a map.

Their true lines and facts stand in truth.json beside those of the routes.
"""

from __future__ import annotations

from ride_plan import Crossing, Ride

PRACTICE = (
    # a two-way track mapped apart, after a crossing with signals for cycles
    Ride(
        "practice-track-beside-a-road",
        "line",
        "566,810",
        "lantern-top park-south foundry-track orchard-hill",
        "1318,1240",
        crossings=(
            Crossing("560,989", "Foundry Road", "cycle signals"),
            Crossing("1301,972", "Orchard Hill", "none", "turn", "return", busy=False),
        ),
    ),
    # two carriageways of one road are one crossing
    Ride(
        "practice-dual-carriageway",
        "line",
        "-1110,1150",
        "chapel-road-top",
        "-1150,1790",
        crossings=(Crossing("-1150,1666", "Saltway", "signals"),),
    ),
    # a bus gate, and a square that is an area without a way over it
    Ride(
        "practice-bus-gate-and-square",
        "line",
        "0,130",
        "fish-street-north bus-gate fish-street square-way square-east tollgate-row",
        "290,-140",
    ),
    # against a one-way street from which cycles are exempt
    Ride("practice-contraflow", "line", "-193,560", "school-lane-south", "-190,165"),
    # against a one-way street from which they are not: pushed
    Ride(
        "practice-no-contraflow", "line", "-700,130", "smokehouse-row weighhouse-south", "-300,-100"
    ),
    Ride(
        "practice-ropewalk",
        "line",
        "320,-89",
        "mill-lane coopers-row ropewalk mill-lane sailmaker-south",
        "856,-120",
    ),
    # a main road crossed where the map has no junction
    Ride(
        "practice-crossing-without-a-node",
        "line",
        "1660,-190",
        "yard-cut",
        "1664,90",
        crossings=(Crossing("1662,-56", "Dock Road", "none"),),
    ),
    # a mini-roundabout on the corner of two ordinary roads
    Ride(
        "practice-mini-roundabout",
        "line",
        "-1100,740",
        "chapel-road college-road",
        "-700,1029",
        crossings=(Crossing("-1100,1040", "College Road", "roundabout", "roundabout", busy=False),),
    ),
)
