"""From records to season rows and the report: what each tree really had, and what its fruit say."""
