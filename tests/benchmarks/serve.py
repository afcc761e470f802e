"""Runs one of two apps on a free loopback port until its input ends; floor and subject get the same uvicorn.

`python -m tests.benchmarks.serve floor FOLDER`; the first line of its output is the address.
"""

import sys
import threading
from pathlib import Path
from socket import AF_INET, IPPROTO_TCP, SOCK_STREAM, socket

import uvicorn

from server.app import create_app
from server.settings import Settings
from tests.benchmarks.floor_app import floor_app

APPS = {"floor": floor_app, "pomeward": lambda folder: create_app(Settings(data=folder))}


def main(app: str, folder: str) -> None:
    """Listen, say where, and end when whoever started this closes its end or is gone."""
    config = uvicorn.Config(APPS[app](Path(folder)), access_log=False, log_level="warning")
    server = uvicorn.Server(config)

    def stop_at_the_end() -> None:
        sys.stdin.read()
        server.should_exit = True

    # Named as TCP, as Pomeward's own command does it: else larger answers wait 40 ms for an acknowledgement.
    with socket(AF_INET, SOCK_STREAM, IPPROTO_TCP) as listener:
        listener.bind(("127.0.0.1", 0))
        listener.listen()
        print(f"http://127.0.0.1:{listener.getsockname()[1]}", flush=True)
        threading.Thread(target=stop_at_the_end, daemon=True).start()
        server.run(sockets=[listener])


if __name__ == "__main__":
    main(*sys.argv[1:])
