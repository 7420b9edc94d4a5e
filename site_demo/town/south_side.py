"""The streets south of the river: Tannery Side, the wharf and the claypits."""

from __future__ import annotations

from street import Street, street


def south_side() -> list[Street]:
    """Return the streets between the river and the south edge of the town."""
    bollards = "bollards on Tanner Row"
    planters = "planters on Bark Street"
    return [
        street(
            "tanner-row",
            "Tanner Row",
            "residential",
            "-700,-492 -700,-745 -700,-1015",
            closed_by=bollards,
        ),
        street(
            "bark-west",
            "Bark Street",
            "residential",
            "-1400,-760 -700,-745 -400,-738",
            closed_by=planters,
        ),
        street(
            "bark-middle", "Bark Street", "residential", "-400,-738 -100,-730", closed_by=planters
        ),
        street("bark-east", "Bark Street", "residential", "-100,-730 300,-720"),
        street(
            "hide-lane", "Hide Lane", "residential", "-1400,-760 -1400,-1033", closed_by=bollards
        ),
        street("curriers-lane", "Curriers' Lane", "residential", "-100,-730 -100,-1007"),
        street(
            "cobble-wharf",
            "Cobble Wharf",
            "residential",
            "300,-640 700,-640 1200,-705 2300,-830 2300,-1091",
            "surface=sett; maxspeed=30 mph",
        ),
        street("oast-street", "Oast Street", "residential", "1200,-705 1210,-1040"),
        street("firing-lane", "Firing Lane", "residential", "-700,-1015 -700,-1497"),
        street("claypit-road", "Claypit Road", "residential", "-875,-1500 -300,-1490 324,-1480"),
        street(
            "pugmill-rise",
            "Pugmill Rise",
            "residential",
            "-300,-1490 -250,-1700 -180,-1880",
            closed_by="a dead end below Kiln Steps",
        ),
        street(
            "dyers-loop", "Dyers' Loop", "residential", "700,-1018 700,-1300 1000,-1300 1000,-1032"
        ),
    ]
