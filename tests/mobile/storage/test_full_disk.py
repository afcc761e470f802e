"""On a disk that is full everything that fails says so, loses nothing, and is done once there is room."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]
APART = ["unshare", "--mount", "--map-root-user"]  # a mount that nobody else sees, by any user
PAGES = range(300) if "POMEWARD_FULL_DISKS" in os.environ else (0, 2, 5, 13, 34, 55, 89, 250)


def can_mount() -> bool:
    """Whether this system lets a small disk be mounted."""
    if shutil.which("unshare") is None:
        return False
    mounting = [*APART, "mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", "/mnt"]
    return subprocess.run(mounting, capture_output=True, check=False).returncode == 0


@pytest.mark.timeout(600)
@pytest.mark.skipif(not can_mount(), reason="this system lets no small disk be mounted")
def test_a_full_disk_is_told_and_loses_nothing() -> None:
    asked = ["-m", "tests.mobile.storage.full_disk", "--pages", *map(str, PAGES)]
    done = subprocess.run(
        [*APART, sys.executable, *asked], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    ended: dict[str, dict[str, int]] = json.loads(done.stdout)
    assert set(ended) == {
        "touches",
        "pages_of_the_group",
        "copies",
        "copies_that_break",
        "new_file",
        "first_start",
        "upgrade",
    }
    for scene, sentences in ended.items():
        assert sum(sentences.values()) == len(PAGES)
        for sentence in sentences:
            assert not sentence or "no room" in sentence, scene
        assert any(sentences), f"{scene}: never full"
        assert scene == "touches" or "" in sentences, f"{scene}: never enough"
