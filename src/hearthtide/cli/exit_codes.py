"""What the command line ends with: promises kept, not kept, or asked wrongly."""

KEPT, BROKEN, BAD_INPUT = 0, 1, 2
