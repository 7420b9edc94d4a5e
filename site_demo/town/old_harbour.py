"""The streets east of the high road: Old Harbour, Orchard Side and the yards."""

from __future__ import annotations

from street import Street, street

_POSTS = "lifting posts at both ends"
_MILL = "planters at Mill Lane"
_NO_ENTRY = "oneway=yes; oneway:bicycle=no"


def old_harbour() -> list[Street]:
    """Return the filtered streets between the quay and Dock Road."""
    bollards = "bollards halfway along Mill Lane"
    return [
        street("ferry-steps", "Ferry Steps", "steps", "1180,-385 1180,-365", "step_count=14"),
        street(
            "netmakers-quay",
            "Netmakers' Quay",
            "pedestrian",
            "1180,-365 1000,-350 870,-345",
            "bicycle=yes; bicycle:conditional=dismount @ (Mo-Sa 08:00-18:00); surface=sett; "
            "motor_vehicle=permit",
            kind="filtered street",
            closed_by=_POSTS,
            hours={"Mo-Sa 08:00-18:00": "on foot", "otherwise": "filtered street"},
        ),
        street(
            "sailmaker-south",
            "Sailmaker Row",
            "residential",
            "870,-345 862,-200 850,-60",
            closed_by=_MILL,
        ),
        street(
            "sailmaker-mouth",
            "Sailmaker Row",
            "residential",
            "850,-60 849,-42",
            "oneway=yes",
            closed_by=_MILL,
        ),
        street(
            "sailmaker-north", "Sailmaker Row", "residential", "849,-42 845,48", closed_by=_MILL
        ),
        street("mill-lane", "Mill Lane", "residential", "300,-90 850,-60", closed_by=bollards),
        street(
            "mill-lane-east",
            "Mill Lane",
            "residential",
            "850,-60 1220,-70 1240,-11",
            closed_by=bollards,
        ),
        street(
            "ropewalk",
            "Ropewalk",
            "residential",
            "600,-74 600,-310 864,-290",
            "oneway=yes",
            closed_by=_MILL,
        ),
        street(
            "coopers-row", "Coopers' Row", "living", "450,-82 450,-300 600,-310", closed_by=bollards
        ),
    ]


def orchard_side() -> list[Street]:
    """Return the streets between Dock Road and Foundry Road, some filtered and some not."""
    at_northgate = "bollards at Northgate"
    vine = "bollards above Barrel Lane"
    plug = "no-entry signs from both sides of a short gap"
    pear = "planters across Pear Tree Road"
    gate = "a locked gate on Quince Street"
    return [
        street("vine-south", "Vine Street", "residential", "560,87 555,265", closed_by=vine),
        street("vine-north", "Vine Street", "residential", "555,265 560,437", closed_by=vine),
        street(
            "barrel-west",
            "Barrel Lane",
            "residential",
            "300,270 555,265",
            closed_by=at_northgate,
        ),
        street(
            "barrel-middle",
            "Barrel Lane",
            "residential",
            "555,265 720,258",
            closed_by="planters past Vine Street",
        ),
        street(
            "barrel-stub",
            "Barrel Lane",
            "residential",
            "720,258 900,250",
            closed_by="planters past Vine Street",
        ),
        street("barrel-east", "Barrel Lane", "residential", "900,250 1300,240"),
        street("cask-street", "Cask Street", "residential", "900,40 900,250 905,434"),
        street(
            "lantern-hill", "Lantern Hill", "residential", "560,437 570,700 568,760", closed_by=plug
        ),
        street(
            "lantern-plug-south",
            "Lantern Hill",
            "residential",
            "568,780 568,760",
            _NO_ENTRY,
            closed_by=plug,
        ),
        street(
            "lantern-plug-north",
            "Lantern Hill",
            "residential",
            "568,780 566,800",
            _NO_ENTRY,
            closed_by=plug,
        ),
        street("lantern-top", "Lantern Hill", "residential", "566,800 560,989", closed_by=plug),
        street("pear-west", "Pear Tree Road", "residential", "570,700 800,697", closed_by=pear),
        street("pear-stub", "Pear Tree Road", "residential", "800,697 920,695", closed_by=pear),
        street("pear-east", "Pear Tree Road", "residential", "920,695 1300,690", closed_by=gate),
        street("quince-street", "Quince Street", "residential", "920,434 920,695", closed_by=gate),
    ]


def yards() -> list[Street]:
    """Return the streets of the docks and yards, and one that leaves the extract."""
    end = "a dead end"
    return [
        street("tar-lane", "Tar Lane", "residential", "1300,240 1700,250 1710,-61"),
        street(
            "grain-road", "Grain Road", "service", "1750,-64 1755,-300 2100,-330", closed_by=end
        ),
        street("saltmarsh-road", "Saltmarsh Road", "lane", "2150,-94 2200,-330 2500,-360"),
        street("cooperage", "", "service", "1000,431 1010,560", closed_by=end),
        street(
            "chandlers-yard",
            "Chandlers' Yard",
            "service",
            "1100,-67 1100,-180",
            "bicycle=yes; access=no",
            closed_by=end,
        ),
    ]
