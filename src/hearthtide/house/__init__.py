"""What a house writes down: its oven, dishes, people and nights, read from files and checked."""
