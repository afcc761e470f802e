"""The steps, oldest first. A step that was released is never changed, and uses no table of today: it builds what was then."""
