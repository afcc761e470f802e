"""Where a person is: a screen, what it is about, what was typed and not recorded yet, and the way back. Plain data.

Saved on every change, so that the app opens exactly there after it was killed. Knows no widget.
"""

from dataclasses import dataclass, field, replace
from typing import Any


@dataclass(frozen=True, slots=True)
class Where:
    """One screen with its plain arguments, such as a trap's id, and its draft: text that was typed, not yet recorded."""

    screen: str
    about: dict[str, Any] = field(default_factory=dict)
    draft: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Way:
    """Where one is, and the screens that *back* leads to, nearest last."""

    here: Where
    behind: tuple[Where, ...] = ()

    def on(self, there: Where) -> "Way":
        """Further on: back leads to where one is now."""
        return Way(there, (*self.behind, self.here))

    def instead(self, there: Where) -> "Way":
        """To another screen in place of this one."""
        return Way(there, self.behind)

    def back(self) -> "Way | None":
        """One screen back; None where there is none."""
        return Way(self.behind[-1], self.behind[:-1]) if self.behind else None

    def with_draft(self, typed: dict[str, Any]) -> "Way":
        """The same place, with something typed."""
        return replace(self, here=replace(self.here, draft=self.here.draft | typed))

    def plain(self) -> dict[str, Any]:
        """As it is saved."""
        return {"here": _plain(self.here), "behind": [_plain(where) for where in self.behind]}


def way_from(saved: dict[str, Any] | None, known: frozenset[str]) -> Way | None:
    """The way that was saved; None where it names a screen that this release does not have, or is no way at all."""
    try:
        way = Way(Where(**saved["here"]), tuple(Where(**one) for one in saved["behind"])) if saved else None
    except (KeyError, TypeError):
        return None
    screens = {where.screen for where in (way.here, *way.behind)} if way else set()
    return way if screens <= known else None


def _plain(where: Where) -> dict[str, Any]:
    return {"screen": where.screen, "about": where.about, "draft": where.draft}
