"""How much each measure works through: enough to see past the noise, and a few minutes in all. Knows no measure."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Sizes:
    """Work of the measures; what is given a round is repeated as often as rounds are asked for."""

    touches: int = 500  # marks a round
    batch: int = 500  # entries a push
    batches: int = 12  # pushes a round
    history: int = 20_000  # entries that are pulled, applied, folded
    page: int = 1_000  # entries a pull
    pages: tuple[int, ...] = (1_000, 2_000)  # of packed pulls
    few: tuple[int, int] = (8, 500)  # phones that push at once, entries a push
    many: tuple[int, int] = (50, 100)
    crowd_batches: int = 4  # pushes of each phone, one after the other, twice a round
    group: int = 100_000  # entries of a group that a fresh phone comes to
    parted: int = 10  # phones that come together again after a time without a link
    unsent: int = 1_000  # entries on each of them
    trees: tuple[int, ...] = (
        30,
        2_000,
        8_000,
        20_000,
    )  # of the second on, cost is compared with the one before
    fruit: int = 60  # scored on each tree
    old_phone: int = 100_000  # entries of a phone that is started
    rows: int = 5_000  # of a list that is scrolled
    gardens: int = 40  # with temperatures of so many
    years: int = 10
    visits: int = 20_000  # on a phone that shows Today


USUAL = Sizes()
TINY = Sizes(
    touches=5,
    batch=10,
    batches=2,
    history=120,
    page=50,
    pages=(40, 60),
    few=(3, 10),
    many=(5, 4),
    crowd_batches=2,
    group=150,
    parted=2,
    unsent=20,
    trees=(10, 20),
    fruit=6,
    old_phone=200,
    rows=100,
    gardens=2,
    years=1,
    visits=60,
)
