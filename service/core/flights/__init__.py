"""Core, flights: straight flights of stairs and their raked bays (method 9)."""
