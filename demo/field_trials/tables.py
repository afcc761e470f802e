"""Makes a table of scores from each published trial. Knows the files beside it and the columns of such a table.

python -m demo.field_trials.tables grapes > grapes.csv
pomeward import-scores GROUP grapes.csv --garden Wooster --season 1990
"""

import csv
import io
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

FOLDER = Path(__file__).parent
COLUMNS = ("tree", "methods", "scored", "damaged", "cultivar", "date", "declared_before")
Line = dict[str, str]


def lines_of(file: str) -> Iterator[Line]:
    """The lines of a file, by column; columns are separated by tabulators."""
    with (FOLDER / file).open(encoding="ascii", newline="") as opened:
        yield from csv.DictReader(opened, delimiter="\t")


def grapes() -> Iterator[Line]:
    """One line for each shoot; treatment 1 is the unsprayed control."""
    for line in lines_of("hughes.grapes.txt"):
        yield {
            "tree": f"{line['block']}-{line['trt']}-{line['vine']}",
            "methods": "untreated" if line["trt"] == "T1" else line["trt"],
            "scored": line["total"],
            "damaged": line["diseased"],
            "date": "1990-09-30",
            "declared_before": "yes" if line["trt"] == "T1" else "",
        }


def seeds() -> Iterator[Line]:
    """One line for each plate."""
    for line in lines_of("crowder.seeds.txt"):
        methods = f"{line['gen']} {line['extract']}"
        yield {"tree": line["plate"], "methods": methods, "scored": line["n"], "damaged": line["germ"]}


def carrots_by_genotype() -> Iterator[Line]:
    """One line for each plot; the genotype is the cultivar."""
    for line in lines_of("jansen.carrot.txt"):
        yield {
            "tree": f"{line['trt']}-{line['gen']}-{line['block']}",
            "methods": line["trt"],
            "scored": line["n"],
            "damaged": line["y"],
            "cultivar": line["gen"],
        }


def carrots_by_insecticide() -> Iterator[Line]:
    """One line for each microplot; a second plot of one treatment and replicate is a tree of its own."""
    seen: set[str] = set()
    for line in lines_of("wheatley.carrot.txt"):
        plot = f"{line['treatment']}-{line['rep']}"
        tree = f"{plot}-b" if plot in seen else plot
        seen.add(plot)
        untreated = line["insecticide"] == "nil"
        yield {
            "tree": tree,
            "methods": "untreated" if untreated else f"{line['insecticide']} {line['depth']}",
            "scored": line["total"],
            "damaged": line["damaged"],
            "declared_before": "yes" if untreated else "",
        }


TRIALS: dict[str, Callable[[], Iterator[Line]]] = {
    "grapes": grapes,
    "seeds": seeds,
    "carrots-by-genotype": carrots_by_genotype,
    "carrots-by-insecticide": carrots_by_insecticide,
}


def table_of(trial: str) -> str:
    """The table of a trial as CSV text."""
    written = io.StringIO()
    writer = csv.DictWriter(written, COLUMNS, restval="", lineterminator="\n")
    writer.writeheader()
    writer.writerows(TRIALS[trial]())
    return written.getvalue()


if __name__ == "__main__":
    named = sys.argv[1:]
    if len(named) != 1 or named[0] not in TRIALS:
        sys.exit(f"Name one of {', '.join(TRIALS)}.")
    print(table_of(named[0]), end="")
