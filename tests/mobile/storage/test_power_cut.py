"""A phone whose power is cut loses nothing that it showed; with a laxer setting the same cuts do lose."""

import os

import pytest

from tests.mobile.storage.power_cuts import TOUCHES, cut

CUTS = int(os.environ.get("POMEWARD_CUTS", "40"))
STEPS_OF_A_LIFE = TOUCHES * 21  # of the disk, about


@pytest.mark.timeout(60 + 2 * CUTS)
def test_nothing_that_was_shown_is_lost_when_the_power_is_cut() -> None:
    came_to = cut(CUTS, seed=1, distance=max(20, STEPS_OF_A_LIFE // CUTS))
    assert came_to.cuts >= CUTS and came_to.shown > came_to.cuts * TOUCHES / 4
    assert (came_to.lost, came_to.beyond_one, came_to.failed_checks) == (0, 0, [])


def test_without_flushing_at_each_commit_the_same_cuts_lose_touches() -> None:
    """Else the test above could not fail."""
    came_to = cut(8, seed=1, synchronous="NORMAL", distance=STEPS_OF_A_LIFE // 8)
    assert came_to.cuts_that_lost >= came_to.cuts / 2 and came_to.most_lost_at_once > 20
    assert came_to.failed_checks == [], "lost, but whole"
