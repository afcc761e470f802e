"""Things drawn on a screen, ignorant of the app."""
