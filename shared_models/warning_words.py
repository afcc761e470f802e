"""Every warning of a season report in plain words, with what to do about it. Knows codes, no layout."""

from collections.abc import Callable

from shared_models.language import say, say_many, spoken
from shared_models.method_words import METHOD_NAMES

WARNINGS: dict[str, Callable[[str, int], str]] = {
    "NOT_RANDOM": lambda about, count: say(
        "Observed: methods were not dealt out by chance, so other differences between trees play a part."
    ),
    "ONE_TREE": lambda about, count: say(
        "One tree says little about a method: the spread between trees is not seen."
    ),
    "FEW_TREES": lambda about, count: say(
        "Only {count} trees: a fourth would help more than more fruit.", count=count
    ),
    "FEW_FRUIT": lambda about, count: say(
        "Fewer than 20 fruit scored on: {about}. Score about 30 a tree.", about=about
    ),
    "TOTAL_UNKNOWN": lambda about, count: say(
        "How many were picked in all is not known for: {about}. Days are pooled as scored; note the total next time.",
        about=about,
    ),
    "WEIGHED_BY_CROP": lambda about, count: say(
        "Scored on several days: {about}. They count as the fruit they bore, at most 60, the others as the fruit scored; "
        "so a second day, even a clean one, may move this rate up.",
        about=about,
    ),
    "DROPS_UNKNOWN": lambda about, count: say(
        "Picked fruit only: drops, removed fruit or totals are not all known for: {about}.", about=about
    ),
    "ZERO_DAMAGE": lambda about, count: say(
        "No damage found is not no damage; the range says what is possible."
    ),
    "PARTLY_TREATED": lambda about, count: say(
        "Done less often than counts as having had it: {about}.",
        about=", ".join(spoken(METHOD_NAMES.get(key, key)) for key in about.split(", ")),
    ),
    "NOT_RECORDED": lambda about, count: say(
        "Scored, but nothing is recorded of what was done to them: {about}. Not recorded is not untreated; add what was done.",
        about=about,
    ),
    "DECLARED_LATE": lambda about, count: say(
        "Declared left untreated after scoring began: {about}. Declare it before scoring next season.",
        about=about,
    ),
    "DECLARED_BUT_TREATED": lambda about, count: say(
        "Declared left untreated, yet a method is recorded: {about}. The method counts; correct what is wrong.",
        about=about,
    ),
    "LEFT_OUT_LATE": lambda about, count: say("Left out after scoring began: {about}.", about=about),
    "PART_NOT_SAID": lambda about, count: say(
        "Scored without saying bagged or bare on trees that have bags: {about}. They stand as partly bagged.",
        about=about,
    ),
    "ESTIMATED": lambda about, count: say("Some numbers are estimates: {about}.", about=about),
    "MUCH_NOT_SURE": lambda about, count: say(
        "More than 10 of 100 fruit were not sure: {about}. They stand outside the rate; look again at some.",
        about=about,
    ),
    "SEVERAL_PICKS_A_DAY": lambda about, count: say(
        "Two picks of one tree, part and day: {about}. Their totals are added; look whether one was entered twice.",
        about=about,
    ),
    "TOTAL_LESS_THAN_SCORED": lambda about, count: say(
        "Picked in all is less than was scored: {about}. What was scored counts; correct the total.",
        about=about,
    ),
    "LATE_ENTRIES": lambda about, count: say_many(
        "{count} record was entered more than 7 days after it happened.",
        "{count} records were entered more than 7 days after they happened.",
        count,
    ),
    "DOUBLE_COUNT": lambda about, count: say(
        "Counted twice after the same visit: trap {about}. One count is used, never the sum; look which one is right.",
        about=about,
    ),
    "CATCH_BELOW_NONE": lambda about, count: say(
        "Fewer moths on the liner than before: trap {about}. Taken as none caught; was it emptied?",
        about=about,
    ),
    "UNPLACED": lambda about, count: say_many(
        "{count} record has no season yet and stands in no table; give its day or season.",
        "{count} records have no season yet and stand in no table; give their day or season.",
        count,
    ),
    "ICC_PRIOR": lambda about, count: say(
        "Too few trees to see how alike fruit of one tree are; the ranges rest mostly on an assumed likeness (0.10)."
    ),
    "NO_UNTREATED": lambda about, count: say(
        "No tree was left untreated on purpose, so nothing shows what would have happened without any method. "
        "Leave a few untreated next season and say so before scoring."
    ),
    "NOTHING_ALIKE": lambda about, count: say(
        "No trees stand on the other side that were otherwise alike. Keep some for comparison next season."
    ),
    "FEW_PAIRS": lambda about, count: say(
        "Only {count} trees with bagged and bare fruit: six would be needed for more than a hint.",
        count=count,
    ),
    "FEW_GARDENS": lambda about, count: say_many(
        "Only {count} garden on one side: a garden counts as one here, however many trees it has.",
        "Only {count} gardens on one side: a garden counts as one here, however many trees it has.",
        count,
    ),
    "UNBALANCED": lambda about, count: say(
        "One side has more than twice the trees of the other; more trees on the smaller side would help most."
    ),
    "CONFOUNDED_CULTIVAR": lambda about, count: say(
        "The two sides stand on different cultivars (or it is not noted), so method and cultivar cannot be told apart. "
        "Have both on one cultivar next season."
    ),
    "CONFOUNDED_SITE": lambda about, count: say(
        "The two sides stand in different gardens, so method and garden cannot be told apart. "
        "Have both in one garden next season."
    ),
    "CONFOUNDED_METHODS": lambda about, count: say(
        "The two sides differ in other methods too, so they cannot be told apart."
    ),
    "CULTIVAR_UNKNOWN": lambda about, count: say(
        "The cultivar is not noted for: {about}. Cultivars differ a lot; note it, also afterwards.",
        about=about,
    ),
    "MIXED_PICK_DATES": lambda about, count: say(
        "The two sides were picked {count} days apart; later picks have more damage whatever the method.",
        count=count,
    ),
    "SCORER": lambda about, count: say(
        "One side was scored by one person only, the other by others too. Share out both sides next time."
    ),
    "NEIGHBOUR": lambda about, count: say(
        "Moths fly: what was done to a tree acts on the trees beside it too, which makes differences smaller."
    ),
    "ALONE_IN_STRATUM": lambda about, count: say(
        "Not used here, since nothing alike stands on the other side: {about}.", about=about
    ),
    "ONE_TREE_DOMINATES": lambda about, count: say(
        "One tree carries more than half of the fruit of its side: {about}. Score others as much.",
        about=about,
    ),
    "BAG_SELECTION": lambda about, count: say(
        "Bags go on sound fruit: damage from before bagging counts against bare fruit only."
    ),
    "OTHER_HIGH": lambda about, count: say(
        "{count} of 100 fruit of a side had other harm (scab, hail, birds); they count as not damaged by moths.",
        count=count,
    ),
    "REMOVED_ONE_SIDE": lambda about, count: say(
        "Fruit was picked up or taken off on one side more than on the other, and not all of it is known. "
        "Picked fruit then look better without one being saved. Count drops on all trees next season."
    ),
    "DROPS_UNLIKE": lambda about, count: say(
        "Drops were counted on more than twice as many days on one side; what lies longer rots or is eaten uncounted. "
        "Count both sides on the same days next season."
    ),
    "BAGGED_LATE": lambda about, count: say(
        "First bags after June drop: {about}. Damage shows by then and only sound fruit gets a bag; bag earlier next season.",
        about=about,
    ),
    "SAID_LATE": lambda about, count: say(
        "What was done to these was entered only after their fruit were scored: {about}. Enter it before scoring next season.",
        about=about,
    ),
    "MANY_NOT_SCORED": lambda about, count: say(
        "These had the same, but none of their fruit were scored: {about}. If the good-looking trees were scored, this says "
        "more than is true.",
        about=about,
    ),
    "METHOD_CHANGED": lambda about, count: say(
        "What counts as having had a method was changed after scoring began. Settle it before scoring next season."
    ),
    "PICK_DAYS_UNKNOWN": lambda about, count: say(
        "Nobody knows when a side was picked; later fruit has more damage whatever the method. Note the day next time."
    ),
    "SCORERS_APART": lambda about, count: say(
        "Nobody scored trees of both sides, so a strict eye and a method cannot be told apart. "
        "Let each person score some of both."
    ),
    "SIZES_APART": lambda about, count: say(
        "The two sides are trees of different sizes, so method and size cannot be told apart."
    ),
    "CORRECTED": lambda about, count: say(
        "Scores of a side were corrected afterwards, by {count} of 100 fruit; the reasons stand with them.",
        count=count,
    ),
    "CHOSEN_PART": lambda about, count: say(
        "This looks at a part that nobody named before scoring, so it can be a hint at most; the whole season decides."
    ),
    "FOUND_AFTERWARDS": lambda about, count: say(
        "This comparison was not named before scoring, so it can be a hint at most. Name it beforehand next season."
    ),
    "MULTIPLE": lambda about, count: say(
        "One of {count} comparisons named beforehand; each is judged the more strictly for it (Holm).",
        count=count,
    ),
    "GIVEN_UP": lambda about, count: say_many(
        "{count} named comparison was changed or withdrawn after scoring began; it still counts among those named.",
        "{count} named comparisons were changed or withdrawn after scoring began; they still count among those named.",
        count,
    ),
    "CARRY_OVER": lambda about, count: say(
        "Last season something else was done to: {about}. It may still act; compare the years of each tree.",
        about=about,
    ),
    "YEARS_DISAGREE": lambda about, count: say(
        "The years point different ways, so they are not put together; look at them side by side."
    ),
    "YEARS_NOT_NAMED": lambda about, count: say(
        "It was not named before scoring in every one of these seasons, so together it can be a hint at most."
    ),
    "TREES_AGAIN": lambda about, count: say(
        "A tree that was there for several years counts once; only more trees, not more years, make it surer."
    ),
    "LURE_CHANGED": lambda about, count: say(
        "The lure differed between the two seasons ({about}), so the catches do not compare.", about=about
    ),
    "WINDOW": lambda about, count: say(
        "{count} of 100 trap-days lie outside the days that both seasons were looked at, and are left out.",
        count=count,
    ),
    "NOT_TOLD_APART": lambda about, count: say(
        "Sting and deep entry were not told apart on: {about}. They stand in no comparison of deep entries.",
        about=about,
    ),
    "SCORERS_DISAGREE": lambda about, count: say(
        "Of fruit scored by two people only {count} of 100 were scored alike: {about}. "
        "Score twenty together, and say what counts as a sting, before the next round.",
        about=about,
        count=count,
    ),
    "HIDDEN_ENTRIES": lambda about, count: say_many(
        "{count} fruit that looked clean had an entry when it was cut: damage is higher than scored from outside.",
        "{count} fruit that looked clean had an entry when they were cut: damage is higher than scored from outside.",
        count,
    ),
    "REACH_GARDEN": lambda about, count: say(
        "This method reaches whole gardens, so gardens are compared, and they differ in much else: a hint at most."
    ),
}
