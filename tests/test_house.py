"""The house as a whole: which room may import which, sizes of files, and codes that are used.

The arrows stand in .importlinter beside pyproject.toml.
"""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import softpedal
from softpedal.problems import CODES

PACKAGE = Path(softpedal.__file__).parent
ROOT = Path(__file__).parents[1]
CONTRACTS = ROOT / ".importlinter"
MODULES = sorted(PACKAGE.rglob("*.py"))
#: A file fits in a head: about 250 lines, and never more than this.
MAX_LINES = 450

#: One line that breaks each contract, and the module in which it would stand.
BREACHES = {
    "library/track.py": "from softpedal.measure import units",
    "problems.py": "from softpedal.library import track",
    "measure/units.py": "from softpedal.site import text",
    "site/text.py": "from softpedal import cli",
    "upkeep/check.py": "from softpedal.site import text",
    "streets/coast.py": "from softpedal.settings import Settings",
    "streets/ground.py": "from softpedal.measure import units",
    "settings.py": "import click.testing",
    "mkdocs_plugin/served.py": "from click import echo",
    "cli/group.py": "import mkdocs.config",
    "library/values.py": "import mkdocs",
}


def lint(folder):
    """Return what import-linter says of the package in a folder, and its exit code."""
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            "from importlinter.cli import lint_imports_command; lint_imports_command()",
            *("--no-cache", "--config", str(CONTRACTS)),
        ],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": os.pathsep.join([str(folder), *sys.path])},
        capture_output=True,
        text=True,
        check=False,
    )
    return done.stdout + done.stderr, done.returncode


def names():
    return re.findall("^name = (.+)$", CONTRACTS.read_text(encoding="utf-8"), re.MULTILINE)


@pytest.fixture
def copy(tmp_path):
    """The package's modules, to be damaged."""
    shutil.copytree(
        PACKAGE,
        tmp_path / "softpedal",
        ignore=lambda _, found: [f for f in found if "." in f and not f.endswith(".py")],
    )
    return tmp_path


def test_every_import_follows_the_arrows():
    said, code = lint(PACKAGE.parent)
    assert code == 0, said
    assert f"{len(names())} kept, 0 broken" in said


@pytest.mark.parametrize("module", BREACHES)
def test_an_import_against_an_arrow_is_noticed(copy, module):
    path = copy / "softpedal" / module
    path.write_text(f"{path.read_text(encoding='utf-8')}\n{BREACHES[module]}\n", encoding="utf-8")
    said, code = lint(copy)
    assert code == 1, said
    assert "BROKEN" in said
    assert f"softpedal.{module.removesuffix('.py').replace('/', '.')} -> " in said


def test_a_new_room_must_be_given_its_place(copy):
    (copy / "softpedal" / "attic").mkdir()
    (copy / "softpedal" / "attic" / "__init__.py").write_text("")
    said, code = lint(copy)
    assert code == 1
    assert "attic" in said


def test_streets_have_a_contract_of_their_own_once_they_are_there():
    """They know the library and problems, and not the settings, which no layer can say."""
    text = CONTRACTS.read_text(encoding="utf-8")
    assert not (PACKAGE / "streets").exists() or "source_modules = softpedal.streets" in text


@pytest.mark.parametrize("code", CODES)
def test_every_code_is_reported_somewhere(code):
    users = [path for path in MODULES if path.name != "problems.py"]
    assert any(f'"{code}"' in path.read_text(encoding="utf-8") for path in users)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(PACKAGE).as_posix())
def test_a_file_fits_in_a_head(path):
    assert len(path.read_text(encoding="utf-8").splitlines()) <= MAX_LINES
