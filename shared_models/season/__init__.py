"""From one season's records to what stands in its rows: trees made one, method mixes, samples of fruit, trap catch."""
