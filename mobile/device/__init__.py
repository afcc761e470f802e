"""Location, camera, buzzer, connectivity, secrets: a small interface each. Knows no records."""
