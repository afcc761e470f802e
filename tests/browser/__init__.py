"""The pages in a real Chromium, served by a real server on this machine."""
