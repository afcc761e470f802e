"""Push, then pull, against a SyncServer. Knows no screen."""
