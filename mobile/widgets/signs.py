"""The drawn signs: a few strokes each in a square of 1 × 1, origin lower left. Data only; `sign.Sign` draws them.

A stroke is a list of points (`path`) or an ellipse by middle and radii (`ring`), optionally a part of it in degrees
clockwise from the top. To add a sign, add a row.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Path:
    """A line through points x, y, x, y …"""

    points: tuple[float, ...]
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Ring:
    """An ellipse, or the part from `start` to `end` [degrees]; `filled` where it is a blot."""

    x: float
    y: float
    across: float
    up: float
    start: float = 0
    end: float = 360
    filled: bool = False


Stroke = Path | Ring


def path(*points: float, closed: bool = False) -> Path:
    """A line through points."""
    return Path(points, closed)


_FRUIT: tuple[Stroke, ...] = (
    Ring(0.5, 0.42, 0.33, 0.33),
    path(0.5, 0.72, 0.53, 0.92),
    path(0.54, 0.82, 0.72, 0.88),
)

SIGNS: dict[str, tuple[Stroke, ...]] = {
    # places
    "day": (
        Ring(0.5, 0.45, 0.19, 0.19),
        path(0.5, 0.74, 0.5, 0.9),
        path(0.24, 0.65, 0.13, 0.76),
        path(0.76, 0.65, 0.87, 0.76),
        path(0.1, 0.12, 0.9, 0.12),
        path(0.1, 0.42, 0.21, 0.42),
        path(0.79, 0.42, 0.9, 0.42),
    ),
    "trap": (
        path(0.5, 0.95, 0.5, 0.72),
        path(0.1, 0.3, 0.5, 0.72, 0.9, 0.3),
        path(0.1, 0.3, 0.9, 0.3),
        path(0.36, 0.18, 0.64, 0.18),
    ),
    "bag": (
        path(0.3, 0.68, 0.2, 0.12, 0.8, 0.12, 0.7, 0.68),
        path(0.26, 0.7, 0.74, 0.7),
        path(0.36, 0.72, 0.5, 0.86, 0.64, 0.72),
        path(0.5, 0.86, 0.5, 0.97),
    ),
    "fruit": _FRUIT,
    "season": (
        path(0.12, 0.9, 0.12, 0.12, 0.92, 0.12),
        path(0.28, 0.68, 0.62, 0.68),
        path(0.4, 0.4, 0.84, 0.4),
        Ring(0.45, 0.68, 0.06, 0.06, filled=True),
        Ring(0.64, 0.4, 0.06, 0.06, filled=True),
    ),
    # things
    "moth": (
        Ring(0.5, 0.45, 0.06, 0.25),
        path(0.46, 0.62, 0.06, 0.74, 0.14, 0.44, 0.45, 0.42),
        path(0.54, 0.62, 0.94, 0.74, 0.86, 0.44, 0.55, 0.42),
        path(0.45, 0.4, 0.2, 0.4, 0.26, 0.14, 0.47, 0.26),
        path(0.55, 0.4, 0.8, 0.4, 0.74, 0.14, 0.53, 0.26),
        path(0.48, 0.7, 0.36, 0.94),
        path(0.52, 0.7, 0.64, 0.94),
    ),
    "drop": (*_FRUIT, path(0.08, 0.04, 0.92, 0.04)),
    "tree": (Ring(0.5, 0.64, 0.3, 0.28), path(0.5, 0.06, 0.5, 0.6), path(0.5, 0.42, 0.66, 0.58), path(0.3, 0.06, 0.7, 0.06)),
    "spray": (
        path(0.3, 0.06, 0.3, 0.56, 0.44, 0.7, 0.58, 0.56, 0.58, 0.06, closed=True),
        path(0.44, 0.7, 0.44, 0.84, 0.62, 0.84),
        path(0.72, 0.84, 0.94, 0.84),
        path(0.7, 0.92, 0.9, 1.0),
        path(0.7, 0.76, 0.9, 0.68),
    ),
    "work": (path(0.5, 0.08, 0.5, 0.62), path(0.3, 0.62, 0.7, 0.62, 0.7, 0.94, 0.3, 0.94, closed=True)),
    "weigh": (
        path(0.2, 0.1, 0.8, 0.1, 0.72, 0.6, 0.28, 0.6, closed=True),
        path(0.5, 0.6, 0.5, 0.8),
        path(0.12, 0.8, 0.88, 0.8),
    ),
    "note": (
        path(0.18, 0.06, 0.82, 0.06, 0.82, 0.94, 0.18, 0.94, closed=True),
        path(0.32, 0.7, 0.68, 0.7),
        path(0.32, 0.5, 0.68, 0.5),
        path(0.32, 0.3, 0.54, 0.3),
    ),
    "copy": (
        path(0.38, 0.06, 0.88, 0.06, 0.88, 0.68, 0.38, 0.68, closed=True),
        path(0.38, 0.32, 0.12, 0.32, 0.12, 0.94, 0.62, 0.94, 0.62, 0.68),
    ),
    "find": (Ring(0.42, 0.58, 0.28, 0.28), path(0.62, 0.38, 0.9, 0.1)),
    "clock": (Ring(0.5, 0.5, 0.38, 0.38), path(0.5, 0.74, 0.5, 0.5, 0.66, 0.4)),
    "garden": (
        path(0.08, 0.1, 0.92, 0.1),
        Ring(0.28, 0.56, 0.18, 0.2),
        path(0.28, 0.1, 0.28, 0.5),
        Ring(0.74, 0.48, 0.15, 0.17),
        path(0.74, 0.1, 0.74, 0.44),
    ),
    "person": (Ring(0.5, 0.72, 0.16, 0.17), Ring(0.5, 0.1, 0.3, 0.36, 270, 450)),
    # what a fruit is scored
    "clean": _FRUIT,
    "sting": (*_FRUIT, Ring(0.62, 0.42, 0.05, 0.05, filled=True)),
    "deep": (*_FRUIT, path(0.8, 0.5, 0.64, 0.52, 0.6, 0.4, 0.46, 0.42), Ring(0.44, 0.4, 0.06, 0.06, filled=True)),
    "insect": (*_FRUIT, Ring(0.5, 0.4, 0.07, 0.11), path(0.36, 0.48, 0.64, 0.34), path(0.36, 0.34, 0.64, 0.48)),
    "other": (*_FRUIT, path(0.34, 0.52, 0.5, 0.42, 0.4, 0.34, 0.6, 0.24)),
    "unsure": (
        Ring(0.5, 0.66, 0.2, 0.2, -90, 150),
        path(0.56, 0.48, 0.5, 0.4, 0.5, 0.3),
        Ring(0.5, 0.16, 0.04, 0.04, filled=True),
    ),
    # doing
    "back": (path(0.6, 0.85, 0.28, 0.5, 0.6, 0.15),),
    "on": (path(0.4, 0.85, 0.72, 0.5, 0.4, 0.15),),
    "done": (path(0.14, 0.5, 0.4, 0.22, 0.88, 0.8),),
    "none": (Ring(0.5, 0.5, 0.34, 0.38), path(0.2, 0.14, 0.8, 0.86)),
    "more": (path(0.5, 0.15, 0.5, 0.85), path(0.15, 0.5, 0.85, 0.5)),
    "less": (path(0.15, 0.5, 0.85, 0.5),),
    "undo": (Ring(0.55, 0.42, 0.3, 0.3, 0, 180), path(0.55, 0.72, 0.15, 0.72), path(0.33, 0.9, 0.14, 0.72, 0.33, 0.54), path(0.55, 0.12, 0.3, 0.12)),
    "warning": (
        path(0.5, 0.9, 0.06, 0.12, 0.94, 0.12, closed=True),
        path(0.5, 0.62, 0.5, 0.38),
        Ring(0.5, 0.25, 0.035, 0.035, filled=True),
    ),
    "lock": (path(0.22, 0.1, 0.78, 0.1, 0.78, 0.5, 0.22, 0.5, closed=True), Ring(0.5, 0.5, 0.18, 0.3, -90, 90)),
    "chosen": (Ring(0.5, 0.5, 0.38, 0.38), Ring(0.5, 0.5, 0.2, 0.2, filled=True)),
    "open": (Ring(0.5, 0.5, 0.38, 0.38),),
}  # fmt: skip
