"""Screens in a real window, drawn off screen, touched by a finger that the tests move."""
