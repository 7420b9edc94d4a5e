"""Where no motor traffic goes: tracks, paths, towpath, pavements, steps, rails and the ferry."""

from __future__ import annotations

from street import Street, street


def beside_roads() -> list[Street]:
    """Return tracks and pavements that the map draws apart from their carriageway."""
    return [
        street(
            "dock-track",
            "Dock Road",
            "track beside",
            "960,31 952,22 845,38 700,61 560,78 492,86 480,97",
            "oneway=yes; width=2.0",
        ),
        street(
            "dock-toucan",
            "",
            "cycle path",
            "560,78 560,87",
            "cycleway=crossing; crossing=traffic_signals",
            kind="protected track",
        ),
        street("dock-pavement", "", "pavement", "940,46 845,61 700,83 500,108", "bicycle=no"),
        street(
            "bridge-pavement",
            "",
            "shared pavement",
            "300,-575 287,-560 287,-335 300,-320",
            "bridge=yes; width=2.6",
            layer=1,
        ),
        street(
            "foundry-track",
            "Foundry Road",
            "track beside",
            "560,1002 900,988 1290,974 1301,973",
            "oneway=no; width=3.0",
        ),
        street("northgate-pavement", "", "pavement", "310,960 310,460 312,300 312,200"),
        street("college-pavement", "", "pavement", "-220,1026 -400,1031 -1080,1050"),
        street("chapel-pavement", "", "pavement", "-1091,130 -1091,550 -1091,700 -1091,1000"),
    ]


def paths() -> list[Street]:
    """Return the paths away from roads."""
    locked = "access:conditional=no @ (21:00-06:00)"
    return [
        street(
            "towpath-west",
            "Towpath",
            "towpath",
            "-2500,-184 -1900,-122 -1640,-114 -1500,-110 -1200,-250 -1000,-342",
            "width=1.8; flood_prone=yes",
        ),
        street(
            "towpath",
            "Towpath",
            "towpath",
            "-1000,-342 -700,-374 -300,-380 0,-374",
            "width=2.2",
        ),
        street(
            "bargemens-path",
            "Bargemen's Path",
            "cycle path",
            "0,-374 300,-370 600,-358 870,-345",
            "width=3.0",
        ),
        street("creel-walk", "Creel Walk", "cycle path", "0,-200 0,-374", "surface=paving_stones"),
        street("capstan-ramp", "Capstan Ramp", "cycle path", "300,-320 240,-342 200,-371"),
        street(
            "heron-bridge",
            "Heron Bridge",
            "cycle path",
            "-700,-374 -700,-492",
            "bridge=yes; surface=wood; width=3.2",
            layer=1,
        ),
        street("mill-link", "", "path", "-1640,-95 -1640,-114"),
        street("lock-link", "", "path", "-1000,-325 -1000,-342"),
        street("cutler-link", "", "path", "-715,-330 -718,-372"),
        street("green-path", "Chapel Green", "cycle path", "-508,680 -850,702 -1100,720"),
        street(
            "green-walk", "Chapel Green", "path", "-850,568 -850,702", "surface=gravel; width=2.0"
        ),
        street(
            "campus-path", "", "cycle path", "-519,1023 -500,1300 -420,1600", "bicycle=permissive"
        ),
        street(
            "saltway-underpass",
            "",
            "cycle path",
            "-420,1600 -420,1715",
            "tunnel=yes; lit=no",
            layer=-1,
        ),
        street("northfield-link", "", "path", "-420,1715 -420,1820"),
        street(
            "allotment-path",
            "Northfield allotments",
            "path",
            "-700,1812 -700,1930 -300,1940 -300,1822",
            f"surface=ground; {locked}",
        ),
        street("park-south", "Linden Park", "cycle path", "560,989 580,1100 600,1225"),
        street("park-path", "Linden Park", "cycle path", "300,1205 600,1225 700,1230 1230,1196"),
        street(
            "cinder-bridge",
            "Cinder Path",
            "cycle path",
            "1230,1196 1400,1186",
            "bridge=yes; railway=abandoned",
            layer=1,
        ),
        street(
            "cinder-path",
            "Cinder Path",
            "path",
            "1400,1186 1900,1170 2450,1150",
            "railway=abandoned; surface=fine_gravel",
        ),
        street(
            "kiln-path", "Kiln Top", "path", "-195,-1897 -500,-1925 -856,-1900", "surface=gravel"
        ),
        street(
            "yard-cut",
            "",
            "path",
            "1660,-200 1665,100",
            "surface=ground; bicycle=permissive",
            loose=("dock-road-yards",),
        ),
    ]


def other_lines() -> list[Street]:
    """Return steps, walks, the way over the square, rails and the ferry."""
    return [
        street("kiln-steps", "Kiln Steps", "steps", "-180,-1880 -195,-1897", "step_count=18"),
        street("market-alley", "", "footway", "-80,-180 -190,-200 -190,-377", "bicycle=dismount"),
        street("square-way", "Fish Market Square", "footway", "0,-80 5,-140 0,-200", mapped=False),
        street("square-east", "Fish Market Square", "footway", "120,-140 5,-140", mapped=False),
        street("tram", "", "tram", "2500,444 1700,438 1300,434 330,443.7"),
        street("alder-lock", "Alder Lock", "lock", "-1080,-348 -1030,-362 -970,-378 -930,-388"),
        street("ferry", "Harbour ferry", "ferry", "1180,-385 1180,-590"),
    ]
