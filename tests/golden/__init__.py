"""Golden logs: what each release wrote, frozen, and what it told of it. Every later program has to tell the same."""
