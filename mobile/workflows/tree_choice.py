"""Many trees at once: "3-7, 12" in walking order, a row, all of a garden, or the same as last time. Writes nothing.

Offers `choose_trees`, `trees_in_typed_order`, `trees_of_row`, `trees_as_last_time`.
"""

import re
from collections.abc import Sequence

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.tree_list import TreeLine, TreeList
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.jobs import Job
from shared_models.when import parse_when

_DASH = re.compile(r"\s*[-–—]\s*")
_SEPARATOR = re.compile(r"[,;\n]")
_NUMBERED = re.compile(r"(.*?)(\d+)")


def choose_trees(store: PhoneStore, garden: str, text: str) -> tuple[str, ...]:
    """The trees that a text names, in walking order: labels, and from–to in walking order, both ends included.

    "A3-7" is short for "A3-A7". BadInputError names the part that stands for no tree, or for several.
    """
    row = TreeList(store).standing(garden)
    parts = [part.strip() for part in _SEPARATOR.split(text) if part.strip()]
    if not parts:
        raise BadInputError(say("Name the trees, such as 3-7, 12."), "trees")
    wanted = {line.tree for part in parts for line in _named(part, row)}
    return tuple(line.tree for line in row if line.tree in wanted)


def trees_in_typed_order(store: PhoneStore, garden: str, text: str) -> tuple[str, ...]:
    """All standing trees of a garden: first those that a text names, in the order of the text, then the others.

    A range whose first end comes later in walking order is taken backwards: "8-6" is 8, 7, 6.
    """
    row = TreeList(store).standing(garden)
    parts = [part.strip() for part in _SEPARATOR.split(text) if part.strip()]
    if not parts:
        raise BadInputError(say("Name the trees, such as 3-7, 12."), "trees")
    named = dict.fromkeys(line.tree for part in parts for line in _named(part, row, as_typed=True))
    return (*named, *(line.tree for line in row if line.tree not in named))


def trees_of_row(store: PhoneStore, garden: str, prefix: str) -> tuple[str, ...]:
    """The trees whose labels are this prefix and a number (A1, A2 …), in walking order."""
    wanted = prefix.strip().casefold()
    row = [line for line in TreeList(store).standing(garden) if prefix_of(line.label) == wanted]
    if not row:
        raise BadInputError(say("No tree here is labelled {prefix} and a number.", prefix=prefix), "trees")
    return tuple(line.tree for line in row)


def trees_of_garden(store: PhoneStore, garden: str) -> tuple[str, ...]:
    """All standing trees of a garden, in walking order."""
    return tuple(line.tree for line in TreeList(store).standing(garden))


def trees_as_last_time(store: PhoneStore, method: str) -> tuple[str, ...]:
    """The trees of the last job with this method, those that still stand; empty where there was none."""
    jobs = [job for job in store.all(Job) if job.method == method and job.trees]
    if not jobs:
        return ()
    trees = TreeList(store)
    last = max(jobs, key=lambda job: (parse_when(job.when).order, job.rec))
    named = {trees.one(tree) for tree in last.trees}
    return tuple(line.tree for line in trees.standing() if line.tree in named)


def _named(part: str, row: Sequence[TreeLine], as_typed: bool = False) -> Sequence[TreeLine]:
    exact = [line for line in row if line.label.casefold() == part.casefold()]
    if exact:
        return [_single(part, exact)]
    ends = _DASH.split(part)
    if len(ends) != 2 or not all(ends):
        raise _no_tree(part)
    return _from_to(ends[0], ends[1], row, as_typed)


def _from_to(first: str, last: str, row: Sequence[TreeLine], as_typed: bool) -> Sequence[TreeLine]:
    if last.isdecimal() and not _labelled(last, row):
        last = _spelled_prefix(first) + last
    begin, end = (row.index(_single(one, _labelled(one, row))) for one in (first, last))
    found = row[min(begin, end) : max(begin, end) + 1]
    return found[::-1] if as_typed and begin > end else found


def _labelled(label: str, row: Sequence[TreeLine]) -> list[TreeLine]:
    return [line for line in row if line.label.casefold() == label.casefold()]


def _single(label: str, found: Sequence[TreeLine]) -> TreeLine:
    if not found:
        raise _no_tree(label)
    if len(found) > 1:
        raise BadInputError(
            say(
                "Several trees here are labelled {label}; choose them from the list, so that it is the right one.",
                label=label,
            ),
            "trees",
        )
    return found[0]


def _no_tree(part: str) -> BadInputError:
    return BadInputError(
        say("No standing tree here is labelled {label}; nothing was recorded.", label=part[:60]), "trees"
    )


def prefix_of(label: str) -> str | None:
    """What stands before the number of a label, whatever its case; None where it has no number at its end."""
    numbered = _NUMBERED.fullmatch(label)
    return numbered[1].strip().casefold() if numbered else None


def _spelled_prefix(label: str) -> str:
    numbered = _NUMBERED.fullmatch(label)
    return numbered[1] if numbered else ""
