"""Private zones: places that no published line may enter, kept in the user's own folder.

The circle that is kept free is not centred on the place. Its centre is moved once, by a part of
its radius that only the user's secret tells, always the same for one place: an offset drawn anew
for each ride would average away over many rides, and a circle round the door itself points at it.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import math
import os
import secrets
from contextlib import suppress
from dataclasses import dataclass, field, replace
from pathlib import Path
from tempfile import mkstemp
from typing import Any

import numpy as np
import numpy.typing as npt
import platformdirs
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from softpedal.library.track import WGS84, local_metres, nearest_on_steps
from softpedal.problems import CannotDoError

#: Names a folder to be used instead of the user's own; the tests' has no zones in it.
CONFIG_VARIABLE = "SOFTPEDAL_CONFIG"
FILE_NAME = "private.json"
VERSION = 1

SMALLEST_M, LARGEST_M = 100.0, 2000.0
USUAL_M = 250.0
#: How far the circle's centre lies from the place, in radii; the place is always inside. Where
#: rides leave to all sides the mean of their starts lies half-way between the two, so that less
#: than 0.5 would bring averaging within 0.25 of the radius (benchmarks/privacy.py).
LEAST_OFFSET, MOST_OFFSET = 0.5, 0.7
#: Places are told apart by this many decimals of a degree, some 1 km, when their offset is drawn:
#: the same home noted again a few metres off keeps its offset.
_PLACE_DECIMALS = 2
_SECRET_BYTES = 32

Floats = npt.NDArray[np.float64]
Bools = npt.NDArray[np.bool_]


class PrivateZonesError(CannotDoError):
    """Zones that cannot be read, written or used as asked."""


@dataclass(frozen=True, slots=True)
class Zone:
    """A place to keep private: WGS84 degrees, and the radius of its circle in metres."""

    name: str
    lat: float = field(repr=False)
    lon: float = field(repr=False)
    radius_m: float = USUAL_M


@dataclass(frozen=True, slots=True)
class Circle:
    """What is kept free of lines: a centre in WGS84 degrees, and metres round it."""

    lat: float
    lon: float
    radius_m: float

    def cuts(self, lat: Floats, lon: Floats, margin_m: float = 0.0) -> tuple[Bools, Bools]:
        """Return which of n points lie inside, (n,), and which steps touch it, (n-1,)."""
        east, north = local_metres(lat, lon, self.lat, self.lon)
        reach = self.radius_m + margin_m
        return np.hypot(east, north) <= reach, nearest_on_steps(east, north)[0] <= reach


@dataclass(frozen=True, slots=True)
class Zones:
    """A user's zones, and the secret that moves their circles; can be sent to other processes."""

    zones: tuple[Zone, ...] = ()
    secret: bytes = field(default=b"", repr=False)

    def __bool__(self) -> bool:
        return bool(self.zones)

    def circles(self) -> tuple[Circle, ...]:
        """Return the circle of each zone."""
        return tuple(_circle(zone, self.secret) for zone in self.zones)

    def enter(self, lat: Floats, lon: Floats, margin_m: float = 0.0) -> tuple[Bools, Bools]:
        """Return which of n points lie in a zone, (n,), and which steps touch one, (n-1,)."""
        inside = np.zeros(len(lat), dtype=np.bool_)
        through = np.zeros(max(0, len(lat) - 1), dtype=np.bool_)
        for circle in self.circles():
            points, steps = circle.cuts(lat, lon, margin_m)
            inside |= points
            through |= steps
        return inside, through

    def holds(self, lat: float, lon: float) -> bool:
        """Whether a place lies in a zone."""
        return bool(self.enter(np.array([lat]), np.array([lon]))[0][0])

    def with_zone(self, zone: Zone) -> Zones:
        """Return these and one more; the secret is drawn with the first.

        Raises:
            PrivateZonesError: the name is taken, the radius is out of bounds, or a zone that is
                there hides the place already.
        """
        if not zone.name.strip() or not zone.name.isprintable():
            raise PrivateZonesError("A zone needs a name.", "Any word for you alone will do.")
        if any(zone.name == other.name for other in self.zones):
            raise PrivateZonesError(
                f"There is a zone `{zone.name}` already.",
                "Take another name, or take that one out with `softpedal private remove`.",
            )
        if not SMALLEST_M <= zone.radius_m <= LARGEST_M:
            raise PrivateZonesError(
                f"A radius of {zone.radius_m:g} m is not between {SMALLEST_M:.0f} and "
                f"{LARGEST_M:.0f} m.",
                "A smaller circle hides nothing, and a larger one no more than the town.",
            )
        drawn = replace(self, secret=self.secret or secrets.token_bytes(_SECRET_BYTES))
        for other in drawn.zones:
            _refuse_twice(zone, other, drawn.secret)
        return replace(drawn, zones=(*self.zones, zone))

    def without_zone(self, name: str) -> Zones:
        """Return these but one; the secret stays, so that a place keeps its offset.

        Raises:
            PrivateZonesError: there is none of that name.
        """
        left = tuple(zone for zone in self.zones if zone.name != name)
        if len(left) == len(self.zones):
            raise PrivateZonesError(
                f"There is no zone `{name}`.", "`softpedal private list` names them."
            )
        return replace(self, zones=left)


NO_ZONES = Zones()


def zones_path() -> Path:
    """Return where the user's zones are kept, whether or not there are any."""
    own = os.environ.get(CONFIG_VARIABLE)
    folder = Path(own) if own else platformdirs.user_config_path("softpedal", appauthor=False)
    return folder / FILE_NAME


def read_zones(path: Path | None = None) -> Zones:
    """Return the zones in a file, by default the user's; none where there is no such file.

    Raises:
        PrivateZonesError: there is a file, but it cannot be read: never taken for no zones.
    """
    path = path or zones_path()
    remedy = (
        "Put back a copy of the file, or give yourself the right to read it; if you take it away, "
        "your zones and their secret are gone."
    )
    try:
        data = json.loads(path.read_bytes())
    except FileNotFoundError:
        if path.is_symlink():
            raise PrivateZonesError(f"{path} leads nowhere.", remedy) from None
        return NO_ZONES
    except OSError as error:
        why = f"{path}, which holds your private zones, cannot be read: {error.strerror}."
        raise PrivateZonesError(why, remedy) from error
    except ValueError as error:
        why = f"{path}, which holds your private zones, is damaged."
        raise PrivateZonesError(why, remedy) from error
    version = data.get("version") if isinstance(data, dict) else None
    if isinstance(version, int) and version != VERSION:
        raise PrivateZonesError(
            f"{path}, which holds your private zones, is of version {version}; this softpedal "
            f"reads version {VERSION}.",
            "Use the softpedal that wrote it, or a newer one.",
        )
    try:
        stored = _Stored.model_validate(data)
    except ValidationError:  # what pydantic says would print the places
        why = f"{path}, which holds your private zones, is damaged."
        raise PrivateZonesError(why, remedy) from None
    zones = tuple(Zone(z.name, z.lat, z.lon, z.radius_m) for z in stored.zones)
    return Zones(zones, bytes.fromhex(stored.secret))


def write_zones(zones: Zones, path: Path | None = None) -> Path:
    """Write zones for their user alone, in one go, and return the file.

    Raises:
        PrivateZonesError: it cannot be written.
    """
    path = path or zones_path()
    data: dict[str, Any] = {
        "version": VERSION,
        "secret": zones.secret.hex(),
        "zones": [
            {"name": z.name, "lat": z.lat, "lon": z.lon, "radius_m": z.radius_m}
            for z in zones.zones
        ],
    }
    unfinished = None
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle, name = mkstemp(dir=path.parent, prefix=".private-")  # readable by its user only
        unfinished = Path(name)
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            json.dump(data, file, ensure_ascii=False, indent=1, allow_nan=False)
            file.write("\n")
            file.flush()
            os.fsync(file.fileno())
        unfinished.replace(path)
    except OSError as error:
        if unfinished is not None:
            with suppress(OSError):
                unfinished.unlink(missing_ok=True)
        raise PrivateZonesError(f"{path} cannot be written: {error.strerror}.") from error
    return path


class _StoredZone(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)

    name: str = Field(min_length=1)
    lat: float = Field(ge=-90, le=90)
    lon: float = Field(ge=-180, le=180)
    radius_m: float = Field(ge=SMALLEST_M, le=LARGEST_M)


class _Stored(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)

    version: int
    secret: str = Field(pattern=f"^[0-9a-f]{{{2 * _SECRET_BYTES}}}$")
    zones: list[_StoredZone]


def _circle(zone: Zone, secret: bytes) -> Circle:
    """Return a zone's circle; the same place, radius and secret give the same one.

    The radius is part of what the offset is drawn from: were the offset only scaled with it, two
    circles of two radii would lie in line with the place, and point at it.
    """
    lat, lon = (round(value, _PLACE_DECIMALS) + 0.0 for value in (zone.lat, zone.lon))
    place = f"{lat:.{_PLACE_DECIMALS}f},{lon:.{_PLACE_DECIMALS}f},{zone.radius_m:.0f}"
    drawn = hmac.new(secret, place.encode(), hashlib.sha256).digest()
    turn, far = (int.from_bytes(drawn[i : i + 8]) / 2**64 for i in (0, 8))
    # Even over the area of the ring: nothing about the circle makes one part of it likelier.
    off = math.sqrt(LEAST_OFFSET**2 + far * (MOST_OFFSET**2 - LEAST_OFFSET**2))
    to_lon, to_lat, _ = WGS84.fwd(zone.lon, zone.lat, 360 * turn, off * zone.radius_m)
    return Circle(float(to_lat), float(to_lon), zone.radius_m)


def _refuse_twice(zone: Zone, other: Zone, secret: bytes) -> None:
    """Refuse a zone for a place that another one hides, or that hides the other's."""
    _, _, apart = WGS84.inv(zone.lon, zone.lat, other.lon, other.lat)
    pair = Zones((zone,), secret), Zones((other,), secret)
    if (
        apart > max(zone.radius_m, other.radius_m)
        and not pair[0].holds(other.lat, other.lon)
        and not pair[1].holds(zone.lat, zone.lon)
    ):
        return
    raise PrivateZonesError(
        f"The zone `{other.name}` covers this place already: two circles round one place show it "
        "more closely than one, for it must lie in both.",
        "Leave it as it is. Only if nothing cut with it was ever published, take it out and add "
        "one with another radius.",
    )
