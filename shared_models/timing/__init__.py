"""When: from a garden's records to degree-days, biofix, what comes next and what is due; the same on both sides."""
