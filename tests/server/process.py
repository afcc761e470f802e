"""The server as a process of its own, started, killed and asked as a person does it. Knows no expectations."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from server.settings import Settings

ROOT = Path(__file__).resolve().parents[2]


class ServerProcess:
    """`pomeward serve` with a folder of its own; `told` are further settings by their names."""

    def __init__(self, settings: Settings, port: int, **told: object) -> None:
        given = {"DATA": settings.data, "DATABASE_URL": settings.database_url, "PORT": port, **told}
        here = {name: value for name, value in os.environ.items() if not name.startswith("POMEWARD_")}
        self._environment = {**here, **{f"POMEWARD_{name}": str(value) for name, value in given.items()}}
        self.process: subprocess.Popen[str] | None = None

    def run(self, *command: str) -> str:
        """Run a command to its end; its output."""
        done = self.attempt(*command)
        assert done.returncode == 0, done.stderr
        return done.stdout.strip()

    def attempt(self, *command: str) -> subprocess.CompletedProcess[str]:
        """Run a command to its end, however that is."""
        return subprocess.run(
            [sys.executable, "-m", "server", *command], env=self._environment, cwd=ROOT, check=False,
            capture_output=True, text=True, timeout=60,
        )  # fmt: skip

    def begin(self, *command: str) -> subprocess.Popen[str]:
        """Begin a command; the caller ends it."""
        return subprocess.Popen(
            [sys.executable, "-m", "server", *command], env=self._environment, cwd=ROOT,
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        )  # fmt: skip

    def start(self) -> str:
        """Start it and read its address from what it prints."""
        self.process = self.begin("serve")
        assert self.process.stdout
        said = self.process.stdout.readline()
        assert "listens on " in said, said + self.process.stdout.read()
        return said.split("listens on ")[1].split(";")[0]

    def kill(self) -> None:
        """kill -9, its own process only."""
        assert self.process and self.process.stdout
        self.process.kill()
        self.process.wait()
        self.process.stdout.close()

    def end(self) -> str:
        """Ask it to end; what it printed since it began to listen."""
        assert self.process and self.process.stdout
        self.process.terminate()
        said = self.process.communicate(timeout=20)[0]
        return said
