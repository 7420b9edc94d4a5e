"""Starts libraries, and runs what their workflows say, with the programs at hand instead of pip."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import yaml

from softpedal.start.new_library import library_files, start_library

if TYPE_CHECKING:
    from pathlib import Path

REQUIREMENT = "softpedal==0.1.0"
#: Programs that the workflows call, as they are at hand while the tests run.
AT_HAND = {
    "pip": 'echo "pip $@"',
    "softpedal": f'exec "{sys.executable}" -m softpedal.cli "$@"',
    "mkdocs": f'exec "{sys.executable}" -m mkdocs "$@"',
}
#: Where it is not looked at what they make: each says how it was called.
NAMED_ONLY = {name: f'echo "{name} $@"' for name in AT_HAND} | {
    "mkdocs": 'echo "mkdocs $@"; mkdir -p public; echo x > public/index.html'
}


def started(folder: Path, extract="download", title="Quiet ways", requirement=REQUIREMENT) -> Path:
    start_library(folder, library_files(title, extract, requirement))
    return folder


def host_variables() -> dict[str, str]:
    """What a host's computer has, and nothing that speaks of softpedal's own repository."""
    kept = {k: v for k, v in os.environ.items() if k not in {"SITE_URL", "EXTRACT_URL", "CI"}}
    return kept | {"PYTHONPATH": os.pathsep.join(sys.path), "NO_MKDOCS_2_WARNING": "1"}


@dataclass
class Host:
    """A code host: runs scripts in a library, in order, until one fails.

    Attributes:
        library: the folder that is checked out.
        variables: what the environment says beside the host's own.
        programs: what the workflows call, each as a line of shell.
        said: all that the scripts printed.
        outputs: what steps with an id wrote down.
    """

    library: Path
    variables: dict[str, str] = field(default_factory=dict)
    programs: dict[str, str] = field(default_factory=AT_HAND.copy)
    said: str = ""
    outputs: dict[str, str] = field(default_factory=dict)

    def run(self, script: str, shell: str, **variables: str) -> bool:
        programs = self.library.parent / "programs"
        programs.mkdir(exist_ok=True)
        for name, line in self.programs.items():
            (programs / name).write_text(f"#!/bin/sh\n{line}\n")
            (programs / name).chmod(0o755)
        written = self.library.parent / "output.txt"
        written.write_text("")
        known = host_variables()
        path = f"{programs}{os.pathsep}{known['PATH']}"
        done = subprocess.run(
            [*shell.split(), "-c", script],
            cwd=self.library,
            env={**known, **self.variables, **variables, "PATH": path}
            | {"GITHUB_OUTPUT": str(written)},
            capture_output=True,
            text=True,
            check=False,
        )
        self.said += done.stdout + done.stderr
        self.outputs = dict(line.split("=", 1) for line in written.read_text().splitlines())
        return done.returncode == 0


def run_github(host: Host, address: str = "", extract: str = "") -> bool:
    """Run the steps of the first job; `address` is what the host says of the site."""
    workflow = yaml.safe_load((host.library / ".github/workflows/pages.yml").read_text("utf-8"))
    known = {"vars.EXTRACT_URL": extract, "steps.pages.outputs.base_url": address}
    assert workflow["defaults"]["run"]["shell"] == "bash"
    for step in workflow["jobs"]["check"]["steps"]:
        if "run" not in step:
            continue
        named = {key: _filled(value, known) for key, value in step.get("env", {}).items()}
        # so does the host call its `bash`
        if not host.run(step["run"], "bash --noprofile --norc -eo pipefail", **named):
            return False
        known |= {f"steps.{step.get('id')}.outputs.{k}": v for k, v in host.outputs.items()}
    return True


def run_gitlab(host: Host, address: str = "", extract: str = "") -> bool:
    """Run both jobs; a job's lines run in one shell, as there."""
    jobs = yaml.safe_load((host.library / ".gitlab-ci.yml").read_text("utf-8"))
    said = {"CI_PAGES_URL": address, "EXTRACT_URL": extract}
    named = {key: value for key, value in said.items() if value}
    return all(host.run("\n".join(jobs[job]["script"]), "sh -e", **named) for job in _jobs(jobs))


def _jobs(jobs: dict[str, Any]) -> list[str]:
    return [name for name, job in jobs.items() if "script" in job]


def _filled(text: str, known: dict[str, str]) -> str:
    return re.sub(r"\$\{\{ (\S+) \}\}", lambda match: known[match[1]], text)
