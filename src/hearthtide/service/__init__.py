"""A night while it runs: commands judged and written to a log, its state folded from that log."""
