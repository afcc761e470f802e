"""Tests of when: temperatures, biofix, what comes next, what is due."""
