"""The phone below its screens, on real files and real connections."""
