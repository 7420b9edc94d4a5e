"""What was taken over from others is what the manifest says, with its licence."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import softpedal.site

FOLDER = Path(softpedal.site.__file__).parent / "assets" / "vendored"
MANIFEST = json.loads((FOLDER / "manifest.json").read_text())


def test_files_have_the_hashes_of_the_manifest() -> None:
    for package in MANIFEST["packages"]:
        for name, hashes in package["files"].items():
            content = (FOLDER / name).read_bytes()
            assert hashlib.sha256(content).hexdigest() == hashes["sha256"], name
            assert hashlib.sha512(content).hexdigest() == hashes["sha512"], name


def test_nothing_else_is_vendored() -> None:
    listed = {name for package in MANIFEST["packages"] for name in package["files"]}
    there = {p.relative_to(FOLDER).as_posix() for p in FOLDER.rglob("*") if p.is_file()}
    assert there == listed | {"manifest.json"}


def test_each_package_has_version_and_licence() -> None:
    for package in MANIFEST["packages"]:
        assert package["version"] in next(iter(package["files"]))
        assert package["licence_file"] in package["files"]
        licence = (FOLDER / package["licence_file"]).read_text()
        assert licence.startswith("BSD 2-Clause License")
        assert package["licence"] == "BSD-2-Clause"
