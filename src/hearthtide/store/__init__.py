"""The append-only log of a night in a database: SQLite on one machine, PostgreSQL for several."""
