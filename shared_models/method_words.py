"""What methods are called in the trade. Words only."""

from shared_models.language import word

METHOD_NAMES = {
    "bagging": word("bagging"),
    "drops_round": word("drops rounds"),
    "granulovirus": word("granulovirus (CpGV)"),
    "horticultural_oil": word("horticultural oil"),
    "kaolin_film": word("kaolin film"),
    "other_insecticide": word("other insecticide"),
    "netting": word("netting"),
    "trunk_band": word("trunk band"),
    "mating_disruption": word("mating disruption"),
    "mass_trapping": word("mass trapping"),
    "thinning": word("thinning"),
    "pruning": word("pruning"),
    "feeding": word("feeding"),
    "watering": word("watering"),
}
