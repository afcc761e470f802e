"""What an import understood and would write, in plain lines for a person to check first. Decides nothing."""

from collections.abc import Iterable, Iterator

from shared_models.language import say, say_many
from shared_models.score_table.planning import ImportPlan
from shared_models.score_table.reading import BadLine
from shared_models.score_table.records import TreeInTable
from shared_models.vocabulary import METHODS


def preview(plan: ImportPlan) -> str:
    """The trees as they were understood, the bad lines, and what there is to write."""
    return "\n".join([*_trees(plan), *_not_used(plan), *bad_lines(plan.bad), *_to_write(plan)]) + "\n"


def bad_lines(bad: Iterable[BadLine]) -> Iterator[str]:
    """Each bad line with its number."""
    for one in bad:
        if one.column:
            yield say(
                "Line {line}, {column}: {sentence}", line=one.line, column=one.column, sentence=one.sentence
            )
        else:
            yield say("Line {line}: {sentence}", line=one.line, sentence=one.sentence)


def _trees(plan: ImportPlan) -> Iterator[str]:
    yield say_many("{count} tree was understood.", "{count} trees were understood.", len(plan.trees))
    for tree in plan.trees:
        yield say(
            "{garden}, tree {tree}, season {season}, {treatment}: {damaged} of {scored} damaged (line {lines})",
            garden=plan.garden_names[tree.garden],
            tree=_tree(tree),
            season=tree.season.key,
            treatment=_treatment(tree),
            damaged=sum(row.damaged for row in tree.rows),
            scored=sum(row.scored for row in tree.rows),
            lines=", ".join(_runs([row.line for row in tree.rows])),
        )


def _tree(tree: TreeInTable) -> str:
    cultivar = next((row.cultivar for row in tree.rows if row.cultivar), None)
    return f"{tree.label} ({cultivar})" if cultivar else tree.label


def _treatment(tree: TreeInTable) -> str:
    if tree.untreated:
        return say("left untreated")
    words = {key: word for row in tree.rows for key, word in (row.methods or {}).items()}
    names = [METHODS[key].name if key in METHODS else word for key, word in words.items()]
    return " + ".join(names) or say("what it had is not recorded")


def _runs(lines: list[int]) -> Iterator[str]:
    """Numbers in a row as first–last."""
    start = 0
    for place in range(1, len(lines) + 1):
        if place == len(lines) or lines[place] != lines[place - 1] + 1:
            first, last = lines[start], lines[place - 1]
            yield str(first) if first == last else f"{first}–{last}"
            start = place


def _not_used(plan: ImportPlan) -> Iterator[str]:
    if plan.not_used:
        yield say("Columns not used: {columns}.", columns=", ".join(name or "–" for name in plan.not_used))


def _to_write(plan: ImportPlan) -> Iterator[str]:
    if plan.bad:
        yield say("Nothing is written while a line is bad. Correct the table and import it again.")
    elif not plan.changes:
        yield say("Everything in this table is recorded already; there is nothing to write.")
    else:
        new = sum(change.new for change in plan.changes)
        undone = sum(change.undoes for change in plan.changes)
        yield say(
            "To write: {new} new records, {changed} changed, {undone} taken back.",
            new=new,
            changed=len(plan.changes) - new - undone,
            undone=undone,
        )
