"""One invented narrated ride: the way, the stops, and what the rider says where.

Places are grid points that the ride passes. A remark begins when the rider is there or, during a
stop, so many seconds after it began.
"""

from __future__ import annotations

from dataclasses import dataclass

from ride_plan import Ride

RIDE = Ride(
    "narrated",
    "ride.gpx",
    "1330,241",
    "tar-lane barrel-east cask-street dock-road sailmaker-north sailmaker-mouth mill-lane "
    "bridge-street herring-row fish-street square-way square-west weighhouse-south "
    "weighhouse-north weir-road almond-street campus-path saltway-underpass northfield-link "
    "northfield-lane allotment-path northfield-lane",
    "-850,1808",
)

#: Between the two doors' zones: where the route begins and ends.
ROUTE_FROM, ROUTE_TO = "900,200", "-300,1870"

#: Start of the recording, and the film's second at that moment.
RECORDED_FROM = "2026-05-13T07:41:05Z"
FILM_BEFORE_S = 140

#: Metres a second by street; all others are ridden at the usual speed.
USUAL_SPEED = 4.8
SPEEDS = {
    "sailmaker-mouth": 1.2,
    "square-way": 1.2,
    "square-west": 1.2,
    "weighhouse-south": 3.4,
    "weighhouse-north": 3.4,
    "northfield-link": 3.6,
}


@dataclass(frozen=True, slots=True)
class Stop:
    """A place where the ride stands; in a pause the recorder switches itself off meanwhile."""

    at: str
    seconds: int
    what: str
    pause: bool = False


@dataclass(frozen=True, slots=True)
class Spoken:
    """A sentence: where it begins, what it is about, and seconds after a stop's begin."""

    at: str
    say: str
    sorts: str = ""
    wait: int = 0


STOPS = (
    Stop("900,44", 18, "the give-way at Dock Road"),
    Stop("849,-38", 24, "the planters on Sailmaker Row"),
    Stop("-300,120", 75, "the baker's on Weighhouse Lane"),
    Stop("-500,420", 95, "a drink on Almond Street", pause=True),
    Stop("-518.8,1015", 41, "the toucan on College Road"),
    Stop("-300,1846", 27, "the gate of the allotments"),
)

#: Pressed buttons: name and place.
BUTTONS = (("Vans here", "640,-72"), ("001", "-300,-60"), ("002", "-420,1660"))

#: What the edited film leaves out: from its second 0, and (stop, from, to) seconds after its begin.
CUT_START_S = 130
CUT_WAITS = (("-300,120", 9, 68), ("-518.8,1015", 9, 37))

#: Corners at which an author would match film and map; one lies in each piece of the edited film.
SYNC_CORNERS = ("0,0", "-500,162", "-420,1820")

BEFORE = Spoken("1330,241", "Morning all, a bit fresh, so it's the good gloves.", wait=-20)

REMARKS = (
    Spoken("1330,241", "Right, just coming out of my front door at seventeen Tar Lane."),
    Spoken("1150,244", "No breakfast yet, so there may be a stop on the way."),
    Spoken("900,178", "Mind the hump here, it's a tall one.", "hazard"),
    Spoken("900,110", "At the bottom we turn right onto Dock Road.", "cue"),
    Spoken("900,44", "Dock Road's busy at this time, so I wait for a proper gap.", "busy", 4),
    Spoken("885,42", "Fifty metres of this, then left into Sailmaker Row.", "cue"),
    Spoken("846,5", "Those planters keep the cars out, nobody drives through.", "filtered"),
    Spoken(
        "849,-38",
        "There's a no entry sign and no exception for bikes, so we get off and push for a bit.",
        "banned dismount",
        4,
    ),
    Spoken("849,-45", "Then it's right along Mill Lane.", "cue"),
    Spoken("740,-66", "Mill Lane used to be a dreadful rat run, my uncle says."),
    Spoken("640,-72", "Vans park on both sides, so you have to ride out in the middle.", "hazard"),
    Spoken("520,-79", "no cars come through here because of the bollards further back", "filtered"),
    Spoken("420,-84", "I do like that blue door with the anchor on it."),
    Spoken("345,-88", "At the end it's right onto Bridge Street.", "cue"),
    Spoken("300,-75", "There's a lot of traffic on this bit and the buses are fast.", "busy"),
    Spoken("300,-15", "now left into hearing row and out of all that", "cue"),
    Spoken("250,8", "Going the other way you're not allowed to turn right out of here.", "banned"),
    Spoken("170,5", "Watch the car doors, they open them without looking.", "hazard"),
    Spoken("80,2", "It isn't busy at all in here, only people who live here."),
    Spoken("0,-55", "At the square you hop off and walk.", "dismount"),
    Spoken("3,-116", "Lots of people on foot on market mornings, so take your time.", "walkers"),
    Spoken("-40,-140", "Smells of kippers, that does."),
    Spoken("-95,-140", "Now it's cobbles all the way up way house lane.", "surface"),
    Spoken("-230,-143", "so bumpy i can hear my own teeth", "surface"),
    Spoken("-300,-60", "Straight on past Smokehouse Row here.", "cue"),
    Spoken("-300,120", "I'm having a bun, the baker's is just here.", wait=3),
    Spoken("-300,120", "That's better, still warm.", wait=71),
    Spoken("-300,140", "Left onto Weir Road, no lights, so pick your gap.", "cue crossing"),
    Spoken("-370,168", "This is the busy bit, cars right behind you all the way.", "busy"),
    Spoken("-460,165", "now turn right into almond street by the letter box", "cue"),
    Spoken("-500,240", "Bollards at both ends of this one, so no through traffic.", "filtered"),
    Spoken("-500,340", "All the front windows look out on you, you're never alone.", "company"),
    Spoken("-500,520", "It's smooth as you like since they did the tarmac.", "surface"),
    Spoken("-504,630", "My knees are warming up at last."),
    Spoken("-512,770", "Here are the other bollards, no cars at this end either.", "filtered"),
    Spoken("-517,955", "College Road next, and it's a toucan, so we needn't get off.", "crossing"),
    Spoken("-518.8,1015", "Push the button at the lights and wait.", "crossing", 4),
    Spoken("-518,1045", "The way in is hidden behind a hedge, it's easy to miss.", "hazard"),
    Spoken("-509,1180", "Lots of students walking all over this path at nine.", "walkers"),
    Spoken("-500,1300", "It's well lit, there are lamps all the way up.", "lit"),
    Spoken("-470,1410", "From here you're out of sight, just hedges and the field.", "company"),
    Spoken("-437,1540", "The underpass is dark, not one lamp in it that works.", "lit"),
    Spoken("-420,1660", "And it floods, there's always water at the bottom.", "wet"),
    Spoken("-420,1730", "It's gravel up to the lane, a bit loose.", "surface"),
    Spoken("-420,1795", "Right here along Northfield Lane.", "cue"),
    Spoken("-375,1821", "in the wet this corner is one big puddle", "wet"),
    Spoken("-325,1821.5", "Left through the gate, and they lock it at night.", "cue hours"),
    Spoken("-300,1846", "After nine in the evening it's shut, you go round.", "hours", 6),
    Spoken("-300,1875", "And that's the way, thanks for coming along."),
    Spoken("-850,1808", "Here I am at my sister's door, number four.", wait=-4),
)
