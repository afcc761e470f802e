"""The words of the trade that records are made of: methods, fruit categories, trap states, units. No sentences.

Reach and "counts as" of the methods are conventions of this project, changeable by a group's own method record.
"""

from dataclasses import dataclass
from enum import StrEnum


class Species(StrEnum):
    """EPPO codes of the host (MABSD, PYUCO, CYDOB from memory, high confidence)."""

    APPLE = "MABSD"
    PEAR = "PYUCO"
    QUINCE = "CYDOB"
    CRAB_APPLE = "MABSS"  # the genus code for Malus, from memory
    ASIAN_PEAR = "PYUPC"  # Pyrus pyrifolia, from memory


class TreeSize(StrEnum):
    """Size class of a grown tree, as the rootstock makes it."""

    DWARF = "dwarf"
    SEMI_DWARF = "semi_dwarf"
    FULL_SIZE = "full_size"


class Reach(StrEnum):
    """What a method protects; it decides what a comparison of it can say."""

    FRUIT = "fruit"
    TREE = "tree"
    GARDEN = "garden"


class Fruit(StrEnum):
    """What one fruit is scored; the worst codling-moth mark of several counts.

    `damaged` is codling-moth damage with sting and deep entry not told apart (drops rounds, imported tables).
    """

    CLEAN = "clean"
    STING = "sting"
    DEEP_ENTRY = "deep_entry"
    OTHER_INSECT = "other_insect"
    OTHER = "other"
    NOT_SURE = "not_sure"
    DAMAGED = "damaged"


class EntryPoint(StrEnum):
    """Where a larva went into a fruit; entries by the calyx are hard to see without cutting."""

    SIDE = "side"
    STEM = "stem"
    CALYX = "calyx"


class Cover(StrEnum):
    """Whether fruit was in a bag: bagged, bare on a tree that has bags, or none (the tree had none)."""

    NONE = "none"
    BAGGED = "bagged"
    BARE = "bare"


class Bag(StrEnum):
    """How a bagged fruit came to the scoring."""

    ON = "on"
    TAKEN_OFF = "taken_off"
    LOST = "lost"


class Source(StrEnum):
    """Where a scored fruit came from: the tree at picking, the ground, or taken off by hand earlier."""

    PICKED = "picked"
    DROP = "drop"
    REMOVED = "removed"


class Tallied(StrEnum):
    """What one tally mark counts."""

    FRUIT = "fruit"
    BAG = "bag"


class Round(StrEnum):
    """What a walk, and each visit on it, is for."""

    BAGGING = "bagging"
    DROPS = "drops"
    PICKING = "picking"
    OTHER = "other"


class TrapState(StrEnum):
    """What a visit found; only `counted` is a count, and "none" is a count of 0."""

    COUNTED = "counted"
    NOT_VISITED = "not_visited"
    LOST = "lost"
    FLOODED = "flooded"
    UNREADABLE = "unreadable"


class CountMode(StrEnum):
    """All moths on the liner now, or only those new since the last visit."""

    ON_LINER = "on_liner"
    NEW = "new"


class Certainty(StrEnum):
    """How a number was come by."""

    EXACT = "exact"
    ESTIMATED = "estimated"


class AllScored(StrEnum):
    """Whether every picked fruit of a pick was scored."""

    YES = "yes"
    NO = "no"
    NOT_SAID = "not_said"


class Fill(StrEnum):
    """What is done where a day's temperatures are missing; what was filled stays marked."""

    NO = "no"
    SECOND_SOURCE = "second_source"
    INTERPOLATE = "interpolate"
    BOTH = "both"  # a second source first, then short gaps between their neighbours


class Role(StrEnum):
    """What a member may do; the table of rights is the server's."""

    KEEPER = "keeper"
    COORDINATOR = "coordinator"
    VIEWER = "viewer"


@dataclass(frozen=True, slots=True)
class Method:
    """A control method: `in_mix` says whether it is part of the compared mix; the least numbers are "counts as"."""

    key: str
    name: str
    reach: Reach
    in_mix: bool = True
    least_times: int = 1


BAGGING, DROPS_ROUND, UNTREATED = "bagging", "drops_round", "untreated"

# For drops rounds `least_times` is rounds a month from June drop to picking; for the others times in the season.
METHODS: dict[str, Method] = {
    method.key: method
    for method in (
        Method(BAGGING, "bagging", Reach.FRUIT),
        Method(DROPS_ROUND, "drops rounds", Reach.GARDEN, least_times=2),
        Method("granulovirus", "granulovirus (CpGV)", Reach.TREE),
        Method("horticultural_oil", "horticultural oil", Reach.TREE),
        Method("kaolin_film", "kaolin film", Reach.TREE),
        Method("other_insecticide", "other insecticide", Reach.TREE),
        Method("netting", "netting", Reach.TREE),
        Method("trunk_band", "trunk band", Reach.TREE),
        Method("mating_disruption", "mating disruption", Reach.GARDEN),
        Method("mass_trapping", "mass trapping", Reach.GARDEN),
        Method("thinning", "thinning", Reach.TREE, in_mix=False),
        Method("pruning", "pruning", Reach.TREE, in_mix=False),
        Method("feeding", "feeding", Reach.TREE, in_mix=False),
        Method("watering", "watering", Reach.TREE, in_mix=False),
    )
}
SPRAYS = frozenset({"granulovirus", "horticultural_oil", "kaolin_film", "other_insecticide"})
