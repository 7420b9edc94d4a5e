"""The streets west of the high road: the market, Chapel Side and the weavers' streets."""

from __future__ import annotations

from street import Street, street

_BUS_GATE = "the bus gate on Fish Street"
_SQUARE = "the Fish Market Square, shut to motor traffic"


def market() -> list[Street]:
    """Return the streets between the river and Weir Road."""
    end = "a dead end at the river"
    return [
        street(
            "fish-street-north", "Fish Street", "residential", "0,140 0,70", closed_by=_BUS_GATE
        ),
        street(
            "bus-gate",
            "Fish Street",
            "residential",
            "0,70 0,40",
            "access=no; bus=yes; bicycle=yes",
            closed_by=_BUS_GATE,
        ),
        street("fish-street", "Fish Street", "residential", "0,40 0,-80", closed_by=_BUS_GATE),
        street("herring-row", "Herring Row", "residential", "0,0 300,10", closed_by=_BUS_GATE),
        street(
            "tollgate-row",
            "Tollgate Row",
            "residential",
            "300,-140 120,-140",
            "surface=sett",
            closed_by=_SQUARE,
        ),
        street(
            "weighhouse-north",
            "Weighhouse Lane",
            "residential",
            "-300,162 -300,0",
            "surface=cobblestone",
        ),
        street(
            "weighhouse-south",
            "Weighhouse Lane",
            "residential",
            "-300,0 -300,-145 -80,-140",
            "surface=cobblestone",
            closed_by=_SQUARE,
        ),
        street(
            "smokehouse-row",
            "Smokehouse Row",
            "residential",
            "-300,0 -700,0 -700,144",
            "oneway=yes",
        ),
        street(
            "cutler-row", "Cutler Row", "residential", "-700,0 -705,-200 -715,-330", closed_by=end
        ),
        street("lock-lane", "Lock Lane", "residential", "-1000,119 -1000,-325", closed_by=end),
    ]


def chapel_streets() -> list[Street]:
    """Return the streets between Weir Road and College Road."""
    planters = "planters on Linden Avenue"
    almond = "bollards at both ends of Almond Street"
    no_entry = "no-entry signs from both sides of a short gap"
    plug = "oneway=yes; oneway:bicycle=no"
    school = "motor_vehicle:conditional=no @ (Mo-Fr 08:15-09:15,14:45-15:45)"
    return [
        street("candle-street", "Candle Street", "residential", "300,270 60,284 -192,290"),
        street(
            "school-lane-south",
            "School Lane",
            "residential",
            "-190,155 -192,290 -193,572",
            "oneway=yes; oneway:bicycle=no; cycleway=opposite",
        ),
        street(
            "school-lane-north",
            "School Lane",
            "residential",
            "-193,572 -200,1014",
            f"{school}; traffic_calming=hump",
            hours={
                "Mo-Fr 08:15-09:15,14:45-15:45": "filtered street",
                "otherwise": "back street",
            },
        ),
        street("linden-avenue-east", "Linden Avenue", "residential", "300,560 -100,570 -193,572"),
        street(
            "linden-avenue-west",
            "Linden Avenue",
            "residential",
            "-193,572 -300,575 -500,580 -1100,560",
            closed_by=planters,
        ),
        street(
            "almond-street",
            "Almond Street",
            "residential",
            "-500,162 -500,580 -508,680 -519,1023",
            closed_by=almond,
        ),
        street("bakers-row", "Bakers' Row", "residential", "60,135 60,284"),
        street("bakers-end", "Bakers' Row", "residential", "60,284 60,400", closed_by=no_entry),
        street(
            "bakers-plug-south",
            "Bakers' Row",
            "residential",
            "60,415 60,400",
            plug,
            closed_by=no_entry,
        ),
        street(
            "bakers-plug-north",
            "Bakers' Row",
            "residential",
            "60,415 60,430",
            plug,
            closed_by=no_entry,
        ),
        street("bakers-top", "Bakers' Row", "residential", "60,430 60,566", closed_by=no_entry),
        street(
            "chapel-walk",
            "Chapel Walk",
            "residential",
            "-1000,119 -1000,563",
            closed_by="bollards halfway along Chapel Walk",
        ),
    ]


def weaver_streets() -> list[Street]:
    """Return the unfiltered streets west of Chapel Road: rat runs, humps, a living street."""
    return [
        street("weaver-street", "Weaver Street", "residential", "-1100,450 -1800,460 -2300,480"),
        street(
            "weaver-top",
            "Weaver Street",
            "residential",
            "-2300,480 -2300,1091",
            "maxspeed=30 mph; surface=asphalt; smoothness=bad",
        ),
        street("loom-street", "Loom Street", "residential", "-1600,167 -1605,705 -1600,1061"),
        street("shuttle-court", "Shuttle Court", "living", "-1350,454 -1350,705 -1605,705"),
        street(
            "bobbin-row",
            "Bobbin Row",
            "residential",
            "-1100,720 -1350,705",
            closed_by="planters on Bobbin Row",
        ),
        street(
            "leat-lane",
            "Leat Lane",
            "lane",
            "-1600,167 -1620,-20 -1640,-95",
            "surface=asphalt; smoothness=bad",
            closed_by="a dead end at the towpath",
        ),
        street("osier-lane", "Osier Lane", "lane", "-2100,216 -2150,60 -2500,20"),
    ]


def college_and_northfield() -> list[Street]:
    """Return the streets between College Road and the north edge of the town."""
    end = "a dead end"
    return [
        street("gown-street", "Gown Street", "residential", "-250,1016 -250,1250 0,1250 0,1009"),
        street(
            "scholars-close", "Scholars' Close", "residential", "-120,1250 -120,1420", closed_by=end
        ),
        street("northfield-lane", "Northfield Lane", "lane", "-1150,1800 -420,1820 300,1830"),
        street("larch-close", "Larch Close", "residential", "100,1827 110,1940", closed_by=end),
        street(
            "college-drive",
            "",
            "service",
            "-850,1033 -850,1180 -600,1190",
            "access=private; bicycle=permissive",
            closed_by=end,
        ),
        street(
            "college-tunnel",
            "",
            "service",
            "-860,1150 -400,1150",
            "access=private; tunnel=yes",
            closed_by=end,
            layer=-2,
        ),
    ]
