"""Commands on what stays private: private add, private list, private remove, bare."""

from __future__ import annotations

from pathlib import Path

import click

from softpedal.cli.group import main
from softpedal.cli.shared import RIDE, tell_cut
from softpedal.draft.privacy import refuse_private, without_private
from softpedal.draft.ride import Ride, line_of
from softpedal.library.gpx_reader import read_gpx
from softpedal.library.gpx_writer import write_gpx
from softpedal.library.photo_file import FORMATS, picture_only
from softpedal.library.plain_text import counted
from softpedal.library.private_zones import (
    LARGEST_M,
    MOST_OFFSET,
    SMALLEST_M,
    USUAL_M,
    Zone,
    read_zones,
    write_zones,
    zones_path,
)
from softpedal.library.values import parse_position
from softpedal.problems import CannotDoError

_FORM = "Write latitude, then longitude: `50.01234,-20.04567`."


@main.group()
def private() -> None:
    """Keep places private: no published line, photo or note may enter their zones."""


@private.command(context_settings={"ignore_unknown_options": True})  # a place may begin with -
@click.argument("name")
@click.argument("place", required=False)
@click.option(
    "--radius",
    type=click.FloatRange(SMALLEST_M, LARGEST_M),
    default=USUAL_M,
    show_default=True,
    help="Metres. Larger in open country, where few houses lie in a small circle.",
)
@click.option("--start-of", type=RIDE, help="Take the place where this recording starts.")
@click.option("--finish-of", type=RIDE, help="Take the place where this recording finishes.")
def add(
    name: str, place: str | None, radius: float, start_of: Path | None, finish_of: Path | None
) -> None:
    """Keep PLACE private, latitude and longitude in degrees, under a NAME for you alone.

    The circle that is cut is not centred on the place, but moved by a part of its radius that
    only your own secret tells. Your zones never enter a library.
    """
    if sum(given is not None for given in (place, start_of, finish_of)) != 1:
        raise click.UsageError("Give a PLACE, or --start-of or --finish-of and a recording.")
    lat, lon = _place(place) if place is not None else _end(start_of, finish_of)
    path = write_zones(read_zones().with_zone(Zone(name, lat, lon, radius)))
    click.echo(f"`{name}` is private from now on: {radius:g} m. Kept in {path}, for you alone.")
    nearest_m = (1 - MOST_OFFSET) * radius
    click.echo(
        f"The circle does not lie round it evenly: a line may begin {nearest_m:.0f} m from it. "
        "Take a larger --radius if that is too near."
    )
    click.echo("Lines that are published already stay as they are: `softpedal check` tells.")


@private.command(name="list")
@click.option("--show", is_flag=True, help="Print the places too.")
def list_zones(show: bool) -> None:
    """Name the private zones, and say where they are kept."""
    zones = read_zones()
    for zone in zones.zones:
        place = f", {zone.lat:.6f},{zone.lon:.6f}" if show else ""
        click.echo(f"{zone.name}: {zone.radius_m:g} m{place}")
    if not zones:
        click.echo("No private zones are set: `softpedal private add` sets one.")
        return
    click.echo(
        f"Kept in {zones_path()}. On a second computer use a copy of this file: it would move "
        "the circles otherwise, and two circles round one place give more away than one."
    )


@private.command()
@click.argument("name")
def remove(name: str) -> None:
    """Keep the place called NAME private no longer. The secret stays."""
    write_zones(read_zones().without_zone(name))
    click.echo(f"`{name}` is private no longer.")


@main.command()
@click.argument("ride", type=RIDE)
@click.argument("track", type=click.Path(dir_okay=False, path_type=Path))
@click.option("--force", is_flag=True, help="Write over a file that is there.")
def bare(ride: Path, track: Path, force: bool) -> None:
    """Write the line of a recording, or a photo, without all that it says besides.

    RIDE is read and not changed, TRACK is written: without times, extensions and device data, and
    without what lies in your private zones (`softpedal private`). Of a photo (JPEG, PNG, WebP)
    the picture is written, upright, without its position, time and camera.
    """
    if track.exists() and not force:
        raise click.UsageError(f"{track} is there already; --force writes over it.")
    if ride.suffix.lower() in FORMATS:
        _bare_photo(ride, track)
    else:
        _bare_line(ride, track)


def _bare_photo(photo: Path, to: Path) -> None:
    form = FORMATS[photo.suffix.lower()]
    if FORMATS.get(to.suffix.lower()) != form:
        raise click.UsageError(f"{to} must end like {photo.name}: the picture keeps its format.")
    try:
        content = picture_only(photo.read_bytes(), form)
    except (SyntaxError, ValueError, OSError) as error:
        if isinstance(error, OSError) and error.errno is not None:
            raise
        raise CannotDoError(f"{photo.name} does not open as a {form} picture.") from error
    to.write_bytes(content)
    click.echo(f"{to}: the picture alone, upright, without position, time and camera.")


def _bare_line(ride: Path, track: Path) -> None:
    zones = read_zones()
    gpx, problems = read_gpx(ride.read_bytes(), ride.name)
    for problem in problems:
        click.echo(str(problem), err=True)
    if gpx is None:
        raise SystemExit(1)
    whole = Ride(gpx.lat, gpx.lon, gpx.height, gpx.part, None, gpx.name, gpx.waypoints)
    line, cut = without_private(whole, zones)
    refuse_private(line.lat, line.lon, line.part, zones, line.waypoints)
    text = write_gpx(line.lat, line.lon, line.height, line.part, line.name, line.waypoints)
    track.write_text(text, encoding="utf-8")
    left = ", ".join(sorted({what for what, _, _ in gpx.private})) or "nothing"
    click.echo(f"{track}: {counted(len(line.lat), 'point')}; left out: {left}.")
    tell_cut(cut)
    if not zones:
        click.echo(
            "No private zones are set, so your home is still in it if you started there: "
            "`softpedal private add` sets one."
        )
    elif not cut:
        click.echo("Private zones: the line enters none.")


def _place(text: str) -> tuple[float, float]:
    try:
        position = parse_position(text)
    except ValueError as error:
        raise CannotDoError(f"`{text[:60]}` is no place.", _FORM) from error
    if position.form != "coordinates" or position.metres is not None:
        raise CannotDoError(f"`{text[:60]}` is no pair of coordinates.", _FORM)
    return position.lat, position.lon


def _end(start_of: Path | None, finish_of: Path | None) -> tuple[float, float]:
    path, index = (start_of, 0) if start_of is not None else (finish_of, -1)
    assert path is not None
    ride = line_of(path.read_bytes(), path.name)
    return float(ride.lat[index]), float(ride.lon[index])
