"""Pictures of the demo season for the README, and the program that makes them."""
