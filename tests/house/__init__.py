"""The house itself: what may lie where, and that every room is checked."""
