"""Every reference row is either used by a test or listed here as not used yet, with the reason; never both."""

import re
from pathlib import Path

import pytest

from tests.shared_models.calculations.reference_rows import all_checks, all_vectors

CALL = re.compile(r"""\b(checks|vectors)\("([^"]+)"\)""")

NOT_OFFERED = "method not offered; the row is a second look for whoever adds it"

CHECKS_NOT_USED_YET = {
    "newcombe1998b_mn_": NOT_OFFERED,
    "mn_rd_": NOT_OFFERED,
    "rr_or_": NOT_OFFERED,
    "schneider_orelli_": NOT_OFFERED,
    "meta_bcg_": NOT_OFFERED,
    "seeds_": NOT_OFFERED,
    "carrot_quasi": NOT_OFFERED,
    "grapes_plot_quasi": NOT_OFFERED,
    "webworms_nb": NOT_OFFERED,
}

VECTORS_NOT_USED_YET = {
    "Henderson-Tilton": NOT_OFFERED,
}


def _used() -> dict[str, set[str]]:
    found: dict[str, set[str]] = {"checks": set(), "vectors": set()}
    for module in sorted(Path(__file__).parents[2].rglob("test_*.py")):
        for kind, prefix in CALL.findall(module.read_text(encoding="utf-8")):
            found[kind].add(prefix)
    return found


def _listed(kind: str) -> tuple[list[str], set[str], dict[str, str]]:
    if kind == "checks":
        return [row["id"] for row in all_checks()], _used()[kind], CHECKS_NOT_USED_YET
    return [row["id"] for row in all_vectors()], _used()[kind], VECTORS_NOT_USED_YET


@pytest.mark.parametrize("kind", ["checks", "vectors"])
def test_every_row_is_used_or_has_a_reason(kind):
    ids, used, unused = _listed(kind)
    forgotten = [one for one in ids if not one.startswith((*used, *unused))]
    assert forgotten == []


@pytest.mark.parametrize("kind", ["checks", "vectors"])
def test_no_row_is_both_used_and_listed_as_not_used(kind):
    ids, used, unused = _listed(kind)
    both = [one for one in ids if one.startswith(tuple(used)) and one.startswith(tuple(unused))]
    assert both == []


@pytest.mark.parametrize("kind", ["checks", "vectors"])
def test_every_prefix_still_stands_for_a_row(kind):
    ids, used, unused = _listed(kind)
    stale = [prefix for prefix in (*used, *unused) if not any(one.startswith(prefix) for one in ids)]
    assert stale == []


def test_the_files_hold_as_many_rows_as_their_description_says():
    description = (Path(__file__).parents[2] / "reference" / "SOURCES.md").read_text(encoding="utf-8")
    assert f"{len(all_checks())} checks" in description
    assert f"{len(all_vectors())} short vectors" in description


def test_ids_are_unique_and_every_check_says_where_it_is_from():
    ids = [row["id"] for row in all_checks()]
    assert len(set(ids)) == len(ids)
    assert all(row["source"] and row["how"] and row["tolerance"] > 0 for row in all_checks())
