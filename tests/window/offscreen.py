"""Settings that Kivy reads when it is imported: a real OpenGL window without a screen, a home of its own, no sleeping."""

from __future__ import annotations

import atexit
import os
import shutil
import tempfile

SIZE = (412, 892)  # [dp] a middling phone; one dp is one pixel at the density of a desktop
SURFACE = (1024, 892)  # [px] a window off screen can be made smaller later, but its picture never grows


def prepare() -> None:
    """Call once, before anything imports Kivy's window."""
    home = tempfile.mkdtemp(prefix="pomeward-kivy-")
    atexit.register(shutil.rmtree, home, ignore_errors=True)
    os.environ.update(
        SDL_VIDEODRIVER="offscreen",
        KIVY_NO_ARGS="1",  # the command line belongs to pytest
        KIVY_NO_FILELOG="1",
        KIVY_LOG_MODE="PYTHON",  # Kivy's own mode takes sys.stderr and the root logger over
        KIVY_HOME=home,
    )
    from kivy.config import Config

    Config.set("graphics", "width", str(SURFACE[0]))
    Config.set("graphics", "height", str(SURFACE[1]))
    Config.set("graphics", "multisamples", "0")
    Config.set("graphics", "maxfps", "0")  # a frame follows when the test asks for it, not after a pause
    Config.remove_section("input")  # no mouse, no touch screen of this machine
    Config.add_section("input")
