"""Published field trials in open data, as tables that can be imported: real counts, none of codling moth."""
