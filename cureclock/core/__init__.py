"""Pure answers: numbers in, numbers out. No framework, no database, no clock, no network."""
