"""From tags to kinds: every rule, and every trap, on the smallest street that has it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from softpedal.library.notes import KINDS
from softpedal.streets.country import country_of
from softpedal.streets.kinds import RULES, Reader
from streets.reading import ROAD, Grades, edge_of, network_of, read

#: A secondary road 8 m beside the way that is read.
BESIDE = ([(-100.0, -8.0), (300.0, -8.0)], "highway=secondary; name=Dock Road")


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("highway=trunk", "busy road"),
        ("highway=primary_link", "busy road"),
        ("highway=secondary; maxspeed=20 mph", "busy road"),
        ("highway=tertiary; maxspeed=30 mph", "mixed street"),
        ("highway=tertiary; maxspeed=40 mph", "busy road"),
        ("highway=tertiary; maxspeed=60", "busy road"),  # 35 mph on the grid of 5 mph
        ("highway=tertiary; maxspeed=50", "mixed street"),
        ("highway=tertiary; lanes=4", "busy road"),
        ("highway=tertiary; lanes=3", "mixed street"),
        ("highway=tertiary; lanes=3; oneway=yes", "busy road"),
        ("highway=unclassified; maxspeed=60", "mixed street"),
        ("highway=residential; maxspeed=40 mph", "mixed street"),
        ("highway=residential; lanes=3", "mixed street"),
        ("highway=residential; maxspeed=30 mph; lanes=2", "back street"),
        ("highway=living_street", "back street"),
        ("highway=service", "back street"),
        ("highway=track", "back street"),
        ("highway=track; cycleway=lane", "back street"),  # a farm track has no lanes, nor
        ("highway=track; cycleway=track", "back street"),  # tracks of its own
        ("highway=primary; cycleway=lane", "painted lane"),
        ("highway=primary; cycleway=track", "protected track"),
        ("highway=primary; cycleway:left=track; cycleway:left:segregated=no", "shared pavement"),
        ("highway=primary; cycleway:left=share_busway", "bus lane"),
        ("highway=primary; busway:left=lane", "busy road"),
        ("highway=primary; cycleway=shared_lane", "busy road"),
        ("highway=path; bicycle=yes", "traffic-free path"),
        ("highway=cycleway; foot=designated; segregated=no", "traffic-free path"),
        ("highway=bridleway", "traffic-free path"),
        ("highway=track; motor_vehicle=no", "traffic-free path"),
        ("highway=footway", "on foot"),
        ("highway=footway; bicycle=yes", "traffic-free path"),
        ("highway=footway; footway=sidewalk; bicycle=designated", "shared pavement"),
        ("highway=footway; footway=sidewalk; bicycle=yes; segregated=yes", "protected track"),
        ("highway=cycleway; is_sidepath=yes; foot=no", "protected track"),
        ("highway=steps; bicycle=yes", "on foot"),
        ("highway=pedestrian", "on foot"),
        ("highway=motorway", "on foot"),
    ],
)
def test_kind_where_motor_traffic_can_drive_through(tmp_path, text, kind):
    has_motors = not any(w in text for w in ("path", "way;", "pedestrian", "motor_vehicle=no"))
    grade = "through" if has_motors else "no motor traffic"
    reading = read(tmp_path, text, grade=grade)
    assert reading.kind == kind
    assert text.split("; ")[0] in reading.evidence


def test_the_table_knows_the_notes_kinds_only_and_ends():
    assert len({rule.name for rule in RULES}) == len(RULES)
    assert {"busy road", "mixed street", "back street", "bus lane"} <= set(KINDS)
    assert RULES[-1].name == "back street"


# filtered streets


def test_filtered_only_when_that_is_sure(tmp_path):
    reading = read(tmp_path, "highway=residential", grade="sure")
    assert (reading.kind, reading.confidence) == ("filtered street", "sure")


@pytest.mark.parametrize("grade", ["sign only", "gate", "edge"])
def test_what_it_depends_on_is_to_be_checked_on_the_ride(tmp_path, grade):
    reading = read(tmp_path, "highway=residential; maxspeed=20 mph", grade=grade)
    assert (reading.kind, reading.confidence) == ("back street", "check")
    assert "filtered if" in reading.evidence
    assert "check on the ride" in reading.evidence
    assert reading.closed_by == ""


def test_one_ways_alone_make_a_filtered_street_without_what_closes_it(tmp_path):
    """Measured as a back street until somebody writes what closes it."""
    reading = read(tmp_path, "highway=residential; maxspeed=20 mph", grade="one-ways")
    assert (reading.kind, reading.confidence) == ("filtered street", "check")
    assert reading.closed_by == ""
    assert "check on the ride" in reading.evidence


def test_what_closes_it_and_how_it_was_found_come_from_the_verdict(tmp_path):
    network = network_of(tmp_path, (ROAD, "highway=residential; name=Mill Lane"))
    verdicts = Grades("sure", {0: "planters at Mill Lane"}, {0: "One way is past the planters."})
    reading = Reader(network, verdicts, country_of("GB")).read(0, True)
    assert reading.closed_by == "planters at Mill Lane"
    assert reading.evidence == "highway=residential. One way is past the planters."
    gate = Reader(network, replace(verdicts, grade="gate"), country_of("GB")).read(0, True)
    assert "filtered if kept shut by planters at Mill Lane" in gate.evidence


def test_a_witness_of_through_traffic_is_passed_on(tmp_path):
    network = network_of(tmp_path, (ROAD, "highway=residential; maxspeed=20 mph"))
    verdicts = Grades("through", evidence={0: "Mill Road → this street → Quay Road"})
    reading = Reader(network, verdicts, country_of("GB")).read(0, True)
    assert reading.evidence.endswith("One can drive through: Mill Road → this street → Quay Road")
    assert reading.confidence == "sure"


def test_a_living_street_is_not_filtered_by_being_one(tmp_path):
    assert read(tmp_path, "highway=living_street", grade="through").kind == "back street"
    assert read(tmp_path, "highway=living_street", grade="sure").kind == "filtered street"


def test_a_fast_lane_at_the_edge_of_the_extract_stays_a_mixed_street(tmp_path):
    reading = read(tmp_path, "highway=unclassified; maxspeed=50 mph", grade="edge")
    assert (reading.kind, reading.confidence) == ("mixed street", "check")


def test_a_street_closed_to_motor_traffic_by_its_tags(tmp_path):
    reading = read(tmp_path, "highway=residential; motor_vehicle=no", grade="no motor traffic")
    assert (reading.kind, reading.confidence) == ("filtered street", "sure")
    assert reading.closed_by == "a ban on motor traffic"
    assert "motor_vehicle=no" in reading.evidence


def test_bicycle_yes_beats_access_no(tmp_path):
    closed = "highway=service; access=no"
    reading = read(tmp_path, f"{closed}; bicycle=yes", grade="no motor traffic")
    assert reading.kind == "filtered street"
    without = read(tmp_path, closed, grade="no motor traffic")
    assert (without.kind, without.why_push, without.confidence) == ("on foot", "private", "check")


def test_private_ground_that_cycles_may_use_is_to_be_checked(tmp_path):
    text = "highway=service; access=private; bicycle=permissive"
    reading = read(tmp_path, text, grade="no motor traffic")
    assert (reading.kind, reading.confidence) == ("filtered street", "check")
    assert reading.closed_by == "private ground"
    # the owner's gate may stand open: then it is no more than a back street
    assert read(tmp_path, text, grade="gate").kind == "back street"


def test_a_bus_gate_is_short_and_a_street_for_buses_is_shared_with_them(tmp_path):
    text = "highway=tertiary; access=no; bus=yes; bicycle=yes"
    gate = read(tmp_path, text, line=[(0.0, 0.0), (60.0, 0.0)], grade="no motor traffic")
    assert gate.kind == "filtered street"
    assert read(tmp_path, text, grade="no motor traffic").kind == "bus lane"


def test_a_cycleway_that_motor_traffic_may_use_is_a_street(tmp_path):
    text = "highway=cycleway; motor_vehicle=yes"
    assert read(tmp_path, text, BESIDE, grade="through").kind == "back street"
    assert read(tmp_path, text, BESIDE, grade="sure").kind == "filtered street"


@pytest.mark.parametrize("highway", ["track", "cycleway"])
def test_a_way_for_farm_traffic_only(tmp_path, highway):
    text = f"highway={highway}; motor_vehicle=agricultural"
    reading = read(tmp_path, text, grade="sign only")
    assert (reading.kind, reading.confidence) == ("traffic-free path", "check")


# beside a road


@pytest.mark.parametrize(
    ("text", "kind", "confidence"),
    [
        ("highway=cycleway", "protected track", "check"),
        ("highway=cycleway; foot=no", "protected track", "sure"),
        ("highway=cycleway; foot=designated; segregated=yes", "protected track", "sure"),
        ("highway=cycleway; foot=designated; segregated=no", "shared pavement", "sure"),
        ("highway=cycleway; foot=yes", "shared pavement", "sure"),
        ("highway=cycleway; segregated=no", "shared pavement", "sure"),
        ("highway=path; bicycle=designated; foot=designated", "shared pavement", "sure"),
        ("highway=path; bicycle=designated; foot=no", "protected track", "sure"),
        ("highway=path", "shared pavement", "check"),
        ("highway=footway; bicycle=yes", "shared pavement", "sure"),
        ("highway=footway", "on foot", "check"),
        ("highway=pedestrian; bicycle=yes", "shared pavement", "check"),
        ("highway=cycleway; is_sidepath=no", "traffic-free path", "check"),
    ],
)
def test_beside_a_road(tmp_path, text, kind, confidence):
    reading = read(tmp_path, text, BESIDE, grade="no motor traffic")
    assert (reading.kind, reading.confidence) == (kind, confidence)
    if kind in ("protected track", "shared pavement"):
        assert reading.beside == "Dock Road"
        assert "runs beside Dock Road" in reading.evidence


def test_away_from_roads_the_same_tags_are_a_path(tmp_path):
    far = ([(-100.0, -80.0), (300.0, -80.0)], "highway=secondary; name=Dock Road")
    reading = read(tmp_path, "highway=cycleway", far, grade="no motor traffic")
    assert (reading.kind, reading.confidence) == ("traffic-free path", "sure")
    assert reading.beside == ""


def test_a_crossing_goes_on_as_the_way_that_it_joins(tmp_path):
    track: tuple = ([(0.0, 8.0), (100.0, 8.0), (200.0, 8.0)], "highway=cycleway; foot=no")
    road: tuple = ([(-100.0, 0.0), (300.0, 0.0)], "highway=secondary; name=Dock Road")
    link = [(100.0, 8.0), (100.0, -8.0)]
    text = "highway=cycleway; cycleway=crossing; foot=designated; segregated=no"
    assert read(tmp_path, text, track, road, line=link).kind == "protected track"
    assert read(tmp_path, text, road, line=link).kind == "traffic-free path"


# sides and directions


def test_a_lane_on_one_side_is_the_left_hand_riders_along_and_the_right_hand_riders_back(tmp_path):
    text = "highway=secondary; cycleway:left=lane; cycleway:right=no"
    kinds = {
        (country, forward): read(tmp_path, text, country=country, forward=forward).kind
        for country in ("GB", "DE")
        for forward in (True, False)
    }
    assert kinds == {
        ("GB", True): "painted lane",
        ("GB", False): "busy road",
        ("DE", True): "busy road",
        ("DE", False): "painted lane",
    }


def test_against_a_one_way_street_one_pushes(tmp_path):
    text = "highway=residential; oneway=yes"
    assert read(tmp_path, text).kind == "back street"
    back = read(tmp_path, text, forward=False)
    assert (back.kind, back.confidence, back.why_push) == ("on foot", "sure", "no entry")


@pytest.mark.parametrize("tag", ["oneway:bicycle=no", "cycleway=opposite", "bicycle:backward=yes"])
def test_a_legal_contraflow_is_no_dismount(tmp_path, tag):
    reading = read(tmp_path, f"highway=residential; oneway=yes; {tag}", forward=False)
    assert reading.kind == "back street"
    assert "against the one-way traffic, as cycles may" in reading.evidence


def test_a_contraflow_lane_is_one_in_its_own_direction_only(tmp_path):
    text = "highway=secondary; oneway=yes; cycleway=opposite_lane"
    assert read(tmp_path, text, forward=False).kind == "painted lane"
    assert read(tmp_path, text, forward=True).kind == "busy road"


def test_a_one_way_track_is_pushed_the_other_way(tmp_path):
    text = "highway=cycleway; oneway=yes; foot=no"
    assert read(tmp_path, text, BESIDE).kind == "protected track"
    back = read(tmp_path, text, BESIDE, forward=False)
    assert (back.kind, back.why_push) == ("on foot", "no entry")


@pytest.mark.parametrize(
    "tag", ["cycleway:left=separate", "cycleway=separate", "bicycle=use_sidepath"]
)
def test_a_track_mapped_apart_asks_whether_it_was_the_track(tmp_path, tag):
    reading = read(tmp_path, f"highway=secondary; {tag}")
    assert (reading.kind, reading.confidence) == ("busy road", "check")
    assert reading.evidence.endswith(f"{tag}: was it the track?")
    assert reading.evidence.count(tag) == 1


def test_a_pavement_that_may_be_ridden_stands_in_the_evidence_only(tmp_path):
    reading = read(tmp_path, "highway=secondary; sidewalk:left:bicycle=yes")
    assert reading.kind == "busy road"
    assert "sidewalk:left:bicycle=yes: or was it the pavement?" in reading.evidence


def test_a_footway_whose_cycles_have_a_track_of_their_own_is_pushed(tmp_path):
    reading = read(tmp_path, "highway=footway; bicycle=use_sidepath", grade="no motor traffic")
    assert (reading.kind, reading.why_push) == ("on foot", "cycles have a way of their own")


def test_a_bus_lane_without_a_word_on_cycles_is_to_be_checked(tmp_path):
    assert read(tmp_path, "highway=primary; busway=lane").confidence == "check"
    assert read(tmp_path, "highway=primary; cycleway=share_busway").confidence == "sure"


# on foot


@pytest.mark.parametrize(
    ("text", "why", "confidence"),
    [
        ("highway=steps", "steps", "sure"),
        ("highway=footway", "pedestrians only", "check"),
        ("highway=footway; footway=sidewalk", "pedestrians only", "sure"),
        ("highway=footway; bicycle=dismount", "cycles are to be pushed", "sure"),
        ("highway=path; bicycle=no", "no cycling", "sure"),
        ("highway=residential; vehicle=no", "no vehicles", "sure"),
        ("route=ferry; bicycle=yes", "ferry", "sure"),
        ("highway=pedestrian; area=yes", "pedestrians only", "check"),
    ],
)
def test_why_one_gets_off(tmp_path, text, why, confidence):
    elsewhere = [(x, y + 500.0) for x, y in ROAD]
    others = [] if "highway" in text else [(elsewhere, "highway=residential")]
    reading = read(tmp_path, text, *others, grade="no motor traffic")
    assert (reading.kind, reading.why_push, reading.confidence) == ("on foot", why, confidence)


def test_bicycle_no_on_a_crossing_node_does_not_close_the_road(tmp_path):
    network = network_of(tmp_path, (ROAD, "highway=tertiary"))
    tagged = {n: {"highway": "crossing", "crossing": "unmarked", "bicycle": "no"} for n in (0, 1)}
    with_node = replace(network, node_tags=tagged)
    readings = [Reader(n, Grades(), country_of("GB")).read(0, True) for n in (network, with_node)]
    assert readings[0] == readings[1]
    assert readings[1].kind == "mixed street"


def test_a_square_drawn_as_an_area_is_crossed_on_foot_or_ridden_if_cycles_may(tmp_path):
    square = [(0.0, 0.0), (50.0, 0.0), (50.0, 50.0), (0.0, 50.0), (0.0, 0.0)]
    doors = [
        ([corner, (corner[0] * 3 - 50, corner[1] * 3 - 50)], "highway=footway")
        for corner in (square[0], square[2])
    ]
    for tag, kind in (("lit=yes", "on foot"), ("bicycle=yes", "filtered street")):
        text = f"highway=pedestrian; area=yes; {tag}"
        network = network_of(tmp_path, (square, text), *doors)
        across = int(network.edge_across.argmax())
        assert network.edge_across[across]
        reader = Reader(network, Grades("no motor traffic"), country_of("GB"))
        for forward in (True, False):
            assert reader.read(across, forward).kind == kind
            assert "over the square" in reader.read(across, forward).evidence


# countries


@pytest.mark.parametrize(
    ("country", "text", "kind"),
    [
        ("GB", "highway=bridleway", "traffic-free path"),
        ("DE", "highway=bridleway", "on foot"),
        ("FI", "highway=pedestrian", "filtered street"),
        ("GB", "highway=pedestrian", "on foot"),
        ("NO", "highway=footway", "traffic-free path"),
        ("CH", "highway=trunk", "on foot"),
        ("GB", "highway=trunk", "busy road"),
        ("", "highway=bridleway", "on foot"),
    ],
)
def test_defaults_by_country(tmp_path, country, text, kind):
    grade = "main" if "trunk" in text else "no motor traffic"
    reading = read(tmp_path, text, country=country, grade=grade)
    assert reading.kind == kind
    if kind in ("traffic-free path", "filtered street"):
        assert reading.confidence == "check"
        assert "no tag speaks of cycles" in reading.evidence


def test_the_country_never_beats_the_tag(tmp_path):
    text = "highway=bridleway; bicycle=no"
    assert read(tmp_path, text, country="GB").kind == "on foot"
    text = "highway=bridleway; bicycle=yes"
    assert read(tmp_path, text, country="DE").kind == "traffic-free path"


# hours


def test_a_pedestrian_street_that_may_be_ridden_at_some_hours(tmp_path):
    text = (
        "highway=pedestrian; bicycle=yes; bicycle:conditional=dismount @ (Mo-Sa 08:00-18:00); "
        "motor_vehicle=permit"
    )
    reading = read(tmp_path, text, grade="sure")
    assert reading.kind == "filtered street"
    assert reading.hours == (("Mo-Sa 08:00-18:00", "on foot"),)
    # where the rising posts may be down, nothing says filtered
    assert read(tmp_path, text, grade="gate").kind == "back street"


def test_a_street_closed_to_motor_traffic_at_some_hours(tmp_path):
    text = "highway=residential; motor_vehicle:conditional=no @ (Mo-Fr 08:15-09:15)"
    reading = read(tmp_path, text, grade="through")
    assert reading.kind == "back street"
    assert reading.hours == (("Mo-Fr 08:15-09:15", "filtered street"),)
    assert reading.closed_by == "a ban on motor traffic"


def test_a_street_opened_to_motor_traffic_at_some_hours(tmp_path):
    text = "highway=residential; motor_vehicle=no; motor_vehicle:conditional=yes @ (22:00-06:00)"
    reading = read(tmp_path, text, grade="no motor traffic")
    assert (reading.kind, reading.hours) == ("filtered street", (("22:00-06:00", "back street"),))


def test_a_pedestrian_street_with_deliveries_at_some_hours(tmp_path):
    text = "highway=pedestrian; bicycle=yes; motor_vehicle:conditional=delivery @ (06:00-10:00)"
    reading = read(tmp_path, text, grade="no motor traffic")
    assert (reading.kind, reading.confidence) == ("filtered street", "sure")
    assert reading.hours == (("06:00-10:00", "back street"),)


def test_hours_that_change_no_kind_are_left_out(tmp_path):
    text = "highway=primary; motor_vehicle:conditional=destination @ (22:00-06:00)"
    assert read(tmp_path, text, grade="main").hours == ()
    text = "highway=primary; bicycle:conditional=no @ wet"
    assert read(tmp_path, text, grade="main").hours == ()


def test_hours_that_hide_later_ones_are_kept(tmp_path):
    text = "highway=path; bicycle=yes; bicycle:conditional="
    value = "no @ (Mo-Fr 08:00-18:00), yes @ (Mo 10:00-11:00)".replace(",", " ;")
    network = network_of(tmp_path, (ROAD, f"{text}x"))
    network.way_tags[0]["bicycle:conditional"] = value
    reading = Reader(network, Grades("no motor traffic"), country_of("GB")).read(0, True)
    assert reading.hours == (
        ("Mo 10:00-11:00", "traffic-free path"),
        ("Mo-Fr 08:00-18:00", "on foot"),
    )


def test_a_path_shut_at_night_is_shut_even_where_cycles_may_ride(tmp_path):
    text = "highway=path; bicycle=yes; access:conditional=no @ (21:00-06:00)"
    reading = read(tmp_path, text, grade="no motor traffic")
    assert (reading.kind, reading.hours) == ("traffic-free path", ())
    assert (reading.shut, reading.confidence) == (("21:00-06:00",), "check")


def test_one_way_at_some_hours(tmp_path):
    text = "highway=residential; oneway:conditional=yes @ (Mo-Fr 07:00-09:00)"
    assert read(tmp_path, text, forward=True).hours == ()
    assert read(tmp_path, text, forward=False).hours == (("Mo-Fr 07:00-09:00", "on foot"),)


def test_nobody_is_told_that_a_bus_lane_is_theirs_without_a_word_on_cycles(tmp_path):
    reading = read(tmp_path, "highway=primary; lanes:psv=1")
    assert (reading.kind, reading.confidence) == ("busy road", "check")
    assert "may cycles use the bus lane?" in reading.evidence


def test_each_edge_is_read_once(tmp_path):
    network = network_of(tmp_path, (ROAD, "highway=residential"))
    reader = Reader(network, Grades(), country_of("GB"))
    assert reader.read(edge_of(network, 0), True) is reader.read(0, True)
