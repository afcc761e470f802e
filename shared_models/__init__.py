"""The language that phone and server both speak: entries, records, the fold and the season calculations."""
