"""Pictures of every screen, to be looked at: `python -m tests.window.pictures FOLDER [SCREEN …]`.

One PNG for each screen, size, scheme and type size, on an invented garden; the folder is best outside the project.
"""

from __future__ import annotations

import argparse
import itertools
import tempfile
from pathlib import Path

from tests.window import offscreen


def main() -> None:
    """Draw what was asked for and say how many pictures there are."""
    parser = argparse.ArgumentParser(prog="python -m tests.window.pictures", description=__doc__)
    parser.add_argument("folder", type=Path, help="where the pictures go")
    parser.add_argument("screens", nargs="*", help="only these screens")
    parser.add_argument("--apart", action="store_true", help="after two people edited the same things")
    asked = parser.parse_args()
    print(f"{draw(asked.folder, asked.screens, asked.apart)} pictures in {asked.folder}")


def draw(folder: Path, wanted: list[str], apart: bool = False) -> int:
    """Draw these screens, or all, in every variant; returns how many pictures were made."""
    offscreen.prepare()
    from tests.window.invented import (
        SCHEMES,
        SIZES,
        TYPE_SIZES,
        disputed,
        in_spring,
        open_at,
        screens,
    )  # after Kivy is prepared
    from tests.window.phone import Phone

    phone, made = Phone(), 0
    for size, scheme, type_size in itertools.product(SIZES, SCHEMES, TYPE_SIZES):
        with tempfile.TemporaryDirectory() as data:
            invented = (disputed if apart else in_spring)(Path(data), scheme, type_size)
            app = open_at(phone, invented, "today", size)
            for screen in wanted or screens():
                app.frame.go(screen, **invented.about(screen))
                phone.settle()
                phone.frames(8)
                variant = f"{size[0]}x{size[1]}_{scheme}_{round(type_size * 100)}"
                phone.picture(folder / f"{screen}_{variant}.png")
                made += 1
            phone.close()
    return made


if __name__ == "__main__":
    main()
