"""The scripts that make the environment: what they say when something is missing."""

from __future__ import annotations

import re
import shutil
import subprocess
import tomllib
from pathlib import Path

import pytest

TOP = Path(__file__).parents[2]
SCRIPTS = [*sorted((TOP / "deploy").glob("*.sh")), TOP / ".ci" / "run"]
BASH = shutil.which("bash") or "/bin/bash"


def in_bash(commands: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run the commands after sourcing the shared part of the scripts."""
    text = f'set -euo pipefail; source "{TOP}/deploy/environment.sh"; {commands}'
    return subprocess.run(
        [BASH, "-c", text],
        capture_output=True,
        text=True,
        env={"PATH": "/usr/bin:/bin"} | environment,
    )


def test_scripts_parse():
    """Every script is there and is sound to the shell."""
    assert {script.name for script in SCRIPTS} >= {"demo.sh", "test.sh", "environment.sh", "run"}
    for script in SCRIPTS:
        done = subprocess.run([BASH, "-n", script], capture_output=True, text=True)
        assert (done.returncode, done.stderr) == (0, "")


def test_missing_peers_are_named(tmp_path: Path):
    """Missing programs are all named, with one line that installs them, and fail the run."""
    peers = tmp_path / "peers.txt"
    peers.write_text(
        "# none\n\nbash | bash | this\nno-such-a | pack-a | messages\nno-such-b|pack-b| pages"
    )
    done = in_bash(f'check_peers "{peers}"')
    assert done.returncode == 1
    assert "missing: no-such-a (pack-a), for messages\n" in done.stderr
    assert "    sudo apt-get install pack-a pack-b\n" in done.stderr


def test_all_peers_there(tmp_path: Path):
    """A list whose programs are all there passes without a word, and so does an empty one."""
    peers = tmp_path / "peers.txt"
    for text in ("", "bash | bash | this\n", "bash | bash | no line's end"):
        peers.write_text(text)
        done = in_bash(f'check_peers "{peers}"')
        assert (done.returncode, done.stderr) == (0, "")


def test_no_python(tmp_path: Path):
    """Without a Python that is new enough the packages to install are named."""
    done = in_bash(f'PATH="{tmp_path}"; find_python')
    assert done.returncode == 1
    assert "sudo apt-get install python3 python3-venv" in done.stderr


def test_python_without_venv(tmp_path: Path):
    """With a Python that cannot make an environment, its package is named and nothing is made."""
    (tmp_path / "ensurepip.py").write_text("raise ImportError('left out, as Debian does')\n")
    python = shutil.which("python3") or "python3"
    done = in_bash(
        f'venv="{tmp_path}/new place"; make_venv', PYTHONPATH=str(tmp_path), PYTHON=python
    )
    assert done.returncode == 1
    assert "sudo apt-get install python3-venv" in done.stderr
    assert not (tmp_path / "new place").exists()


def test_stamp_follows_what_is_installed(tmp_path: Path):
    """The stamp changes with the project's file and with the pins, and with nothing else."""
    deploy = tmp_path / "deploy"
    deploy.mkdir()
    (tmp_path / "pyproject.toml").write_text("a")
    (deploy / "constraints.txt").write_text("b")
    ask = f'top="{tmp_path}"; venv="{tmp_path}/v"; fingerprint'
    (tmp_path / "v" / "bin").mkdir(parents=True)
    (tmp_path / "v" / "bin" / "python").symlink_to(shutil.which("python3") or "python3")
    first, again = in_bash(ask).stdout, in_bash(ask).stdout
    (deploy / "other.txt").write_text("c")
    other = in_bash(ask).stdout
    (deploy / "constraints.txt").write_text("c")
    changed = in_bash(ask).stdout
    assert re.fullmatch(r"[0-9a-f]{64}\n", first)
    assert first == again == other != changed


def test_every_dependency_is_pinned():
    """Every dependency that the project names, for use or for tests, has one exact version."""
    lines = (TOP / "deploy" / "constraints.txt").read_text(encoding="utf-8").splitlines()
    pins = [line for line in lines if line and not line.startswith("#")]
    assert [pin for pin in pins if not re.fullmatch(r"[A-Za-z0-9._-]+==[A-Za-z0-9.+!]+", pin)] == []
    names = [plain_name(pin) for pin in pins]
    assert len(names) == len(set(names))
    project = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = project["dependencies"] + project["optional-dependencies"]["test"]
    assert {plain_name(one) for one in wanted} - set(names) == set()


def plain_name(requirement: str) -> str:
    """Return the distribution's name in its normal form."""
    return re.sub(r"[-_.]+", "-", re.split(r"[<>=!~\[; ]", requirement)[0]).lower()


@pytest.mark.parametrize("word", ["index-url", "find-links", "://"])
def test_no_hosts(word: str):
    """No script or list says where packages come from: that is the machine's own affair."""
    for path in [*SCRIPTS, TOP / "deploy" / "constraints.txt", TOP / "deploy" / "peers.txt"]:
        assert word not in path.read_text(encoding="utf-8")
