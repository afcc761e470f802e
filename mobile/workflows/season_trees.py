"""The trees of a season one by one: a dot each on the common scale, and the ledger of one. Reads no record.

Offers `tree_lines`, `mix_called`, `tree_ledger`, `part_sentence`.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from shared_models import report_lists
from shared_models.chart_shapes import Drawing, tree_drawing, with_percent_scale
from shared_models.language import say, say_many
from shared_models.report_charts import Sign, sign_of
from shared_models.report_words import methods_of, mix_name, named, percent, tree_name
from shared_models.season.report_parts import SeasonReport, TreeLine, TreeShare


@dataclass(frozen=True, slots=True)
class TreeDot:
    """One tree: its label, its numbers, and where it stands on the scale (None where nothing was scored of it)."""

    tree: str
    name: str
    numbers: str
    drawing: Drawing | None


@dataclass(frozen=True, slots=True)
class Ledger:
    """Everything that the report has of one tree."""

    name: str
    lines: tuple[str, ...]
    alone: tuple[tuple[str, str, Drawing], ...]
    parts: tuple[str, ...]


def tree_lines(report: SeasonReport, mix: str | None = None) -> list[TreeDot]:
    """The trees of a mix with a dot each, or all trees of the report, in walking order."""
    shares: dict[str, list[tuple[TreeShare, Sign]]] = {}
    for mixed in report.mixes:
        if mix in (None, mixed.mix.key):
            for share in mixed.trees:
                shares.setdefault(share.tree, []).append((share, sign_of(mixed.mix)))
    return [
        _dot(line, shares.get(line.tree, [])) for line in report.trees if mix is None or line.tree in shares
    ]


def mix_called(report: SeasonReport, mix: str) -> str:
    """The name of a mix of the report; empty where it has none of that key any more."""
    methods = methods_of(report)
    return next((mix_name(line.mix, methods) for line in report.mixes if line.mix.key == mix), "")


def tree_ledger(report: SeasonReport, tree: str) -> Ledger | None:
    """What the report has of one tree; None where the report has no such tree any more."""
    line = next((line for line in report.trees if line.tree == tree), None)
    if line is None:
        return None
    methods = methods_of(report)
    alone = [(mix, share) for mix in report.mixes for share in mix.trees if share.tree == tree]
    return Ledger(
        tree_name(line),
        tuple(_state(report, line)),
        tuple(
            (
                mix_name(mix.mix, methods),
                share_sentence(share),
                with_percent_scale(tree_drawing(share, sign_of(mix.mix))),
            )
            for mix, share in alone
        ),
        tuple(part_sentence(line, place) for place in range(len(line.parts))),
    )


def share_sentence(share: TreeShare) -> str:
    """A tree alone: its share, the range that chance leaves, and the fruit."""
    fruit = say_many("{count} fruit scored", "{count} fruit scored", round(share.scored))
    if share.at_most is not None:
        return say(
            "none found, up to {most} % is possible; {fruit}", most=percent(share.at_most), fruit=fruit
        )
    return say(
        "{rate} %, likely {low}–{high} % on this tree; {fruit}",
        rate=percent(share.rate),
        low=percent(share.low),
        high=percent(share.high),
        fruit=fruit,
    )


def part_sentence(line: TreeLine, place: int) -> str:
    """What was counted on one part of a tree, and when."""
    part = line.parts[place]
    fruit = part.fruit
    damaged = fruit.sting + fruit.deep_entry + fruit.damaged
    scored = damaged + fruit.clean + fruit.other_insect + fruit.other
    where = [named(part.source)]
    where += [named(part.cover)] if part.cover != "none" else []
    where += [named(part.place)] if part.place != "whole" else []
    told = [say("{damaged} of {scored} damaged", damaged=f"{damaged:g}", scored=f"{scored:g}")]
    told += [say("{count} not sure", count=f"{fruit.not_sure:g}")] if fruit.not_sure else []
    told += [
        say("in all not known") if part.total is None else say("{total} in all", total=f"{part.total:g}")
    ]
    return f"{', '.join(where)}, {report_lists.days_text(part.days)}: {', '.join(told)}"


def _state(report: SeasonReport, line: TreeLine) -> Iterator[str]:
    bags = round(line.bags_put_on)
    put_on = ", " + say_many("{count} bag put on", "{count} bags put on", bags) if bags else ""
    yield f"{named(line.status)}{put_on}"
    for out in report.left_out:
        if out.tree == line.tree:
            yield say(
                "Left out of comparison: {reason}",
                reason=f"{out.reason} · {report_lists.day_text(out.decided)}",
            )
    for one in report.untreated:
        if one.tree == line.tree:
            yield say("Declared left untreated {when}.", when=report_lists.day_text(one.declared))
    if line.status == "not_recorded":
        yield say("Nobody said what was done to it, so it is in no comparison; that is not untreated.")


def _dot(line: TreeLine, shares: list[tuple[TreeShare, Sign]]) -> TreeDot:
    """One dot; a tree that stands in several lines, bagged and bare, has none of its own."""
    if len(shares) != 1:
        numbers = say("bagged and bare apart") if shares else named(line.status)
        return TreeDot(line.tree, tree_name(line), numbers, None)
    share, sign = shares[0]
    return TreeDot(line.tree, tree_name(line), share_sentence(share), tree_drawing(share, sign))
