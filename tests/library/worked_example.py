"""The worked example of the route folder's description: an invented place, every key used."""

from __future__ import annotations

from typing import TYPE_CHECKING

from building import gpx_text, line_east, line_north, make_route
from library.pictures import picture

if TYPE_CHECKING:
    from pathlib import Path

NOTES = """\
title: Ferry Steps to Chapel Green
area: [Old Harbour, Chapel Side]    # readers browse by it; one or several
start: Ferry Steps
finish: Chapel Green
summary: A level way from the ferry to the college that keeps off Dock Road.
status: published                   # draft | published | withdrawn
ridden:                             # each ride counts
  - {on: 2026-05-16, direction: outbound, when: weekday morning, moving: 19, standing: 3}
direct: {km: 4.6, minutes: 20}      # the main-road way, for comparison; optional

legs:                               # in riding order, each runs to the next one's `from`
  - from: start
    street: Netmakers' Quay
    kind: on foot
    hours: {"Mo-Sa 08:00-18:00": on foot, otherwise: filtered street}
    closed_by: lifting posts at both ends
    cue: {outbound: Push along the quay between the boats., return: Push to the ferry.}
    walkers: many                   # few | many
  - from: 0.31 km
    street: Sailmaker Row
    kind: filtered street
    closed_by: planters at Mill Lane   # what keeps motor traffic from driving through
    cue: Straight on past the baths.
    lit: "yes"                      # yes | partly | no
    wet: floods after rain
    company: overlooked
    edge: open water
  - from: 1.20 km
    street: Dock Road
    kind: {outbound: protected track, return: painted lane}
    speed_limit: 30 mph
    lanes: 2
    surface: rough                  # smooth | fair | rough | loose | cobbles
    lane_width: 1.4 m               # also parking_width, centre_line, level + why
    parking: true
    blocked: frequent               # vans or bins in the lane: rare | frequent
crossings:
  - at: 1.18 km
    road: Dock Road
    control: signals
    movement: cross                 # cross | turn | roundabout
    speed_limit: 30 mph
    lanes: 2
    vehicles_per_day: 14000
    wait: 75 s                      # as stood on the ride; beats the formula
    easier: Use the signalled crossing 40 m to the left and push over.
dismounts:
  - at: 0.92 km
    why: no entry                   # free text; the count is what matters
    metres: 15
    must: law                       # law | barrier | advised | optional
    without_getting_off: Use the ramp by the baths (60 m longer).
    direction: return               # outbound | return | both (default)
    note: Walk the last 15 m to Mill Lane.
hazards:
  - at: 1.05 km
    to: 1.30 km                     # a hazard may be a stretch
    what: speed humps
    severity: serious               # minor | serious
    note: Taller than they look; take them slowly.
  - at: 1.90 km
    what: hidden turn
    note: The gap is behind the bus shelter.
landmarks:
  - at: 2.40 km
    side: ahead
    what: Grain silo
    story: Painted by the town's school in 2011.
barriers:
  - at: 3.10 km
    what: chicane gate
    gap: 1.2 m                      # also turn, kerb, lift, way_round
alerts:
  - {from: 2026-09-01, until: 2026-10-15, text: Quay wall works; follow the signed diversion.}
closed: ["21:00-06:00"]             # hours when the way cannot be ridden at all (a locked gate)
video: {link: "https://video.example/w/12", jump: "https://video.example/w/12?t={seconds}", chapters: true}
who: {child: with an adult, cargo: with care}
avoids: [Dock gyratory]
hardest: {at: 1.30 km, text: No better way known past the yards.}
best: {at: 2.20 km, text: The row of alders by the lock.}
signed: [{from: 2.40 km, to: 3.00 km, as: river route}]
skip: [{at: 1.50 km, what: a path that ends at a wall}]
wishes: [{at: 1.90 km, what: a cut-through to Chapel Green}]
changed: [{on: 2025-04, text: Sailmaker Row closed to through traffic.}]
photos: [{file: lock.jpg, at: 2.20 km, alt: A gravel path beside a lock gate}]
was: [ferry-steps-to-chapel]        # old ids; their addresses forward here
planned:
  - {text: The canal trust means to widen the towpath., expected: 2027}
thanks: A reader found the ramp by the lock.
variants:                           # another line for one stretch, measured as if taken
  - {file: variant-quay.gpx, leave: 2.10 km, rejoin: 2.90 km, why: Level and lit but shared with walkers., legs: [{from: start, kind: traffic-free path, street: Quay}]}
next: [chapel-green-to-weir-mill]   # carries on with; also worked out from where ends meet
"""  # noqa: E501 - as an author writes it

ID = "ferry-steps-to-chapel-green"
TRACK_M = 3600.0


def track() -> str:
    """Return a track of 3.6 km: 3 km east, then 0.6 km north."""
    east = line_east(3000)
    lat, lon = east[-1]
    return gpx_text([*east, *line_north(600, lat=lat, lon=lon)[1:]])


def write_example(library: Path, notes: str = NOTES) -> Path:
    """Write the example's folder, and that of the route that carries on, into a library."""
    make_route(library, id="chapel-green-to-weir-mill")
    return make_route(
        library,
        notes,
        gpx=track(),
        id=ID,
        files={
            "photos/lock.jpg": picture(),
            "variant-quay.gpx": gpx_text(line_east(900, lat=50.001)),
        },
    )
