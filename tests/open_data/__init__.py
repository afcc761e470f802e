"""Published trials imported as seasons: the counts and rates that come out are the published ones."""
